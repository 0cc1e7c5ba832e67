# Wilson's 95 % intervals of a proportion, by R's own prop.test without continuity correction.
# Rscript wilson.R > wilson.json
cases <- list(c(0, 1), c(1, 1), c(0, 20), c(1, 29), c(3, 7), c(15, 148), c(81, 263), c(20, 20), c(970, 1000))
rows <- sapply(cases, function(case) {
  range <- suppressWarnings(prop.test(case[1], case[2], correct = FALSE)$conf.int)
  sprintf("    { \"of\": %d, \"hits\": %d, \"low\": %.8f, \"high\": %.8f }", case[2], case[1], range[1], range[2])
})
cat("{\n  \"source\": \"R prop.test(correct = FALSE), Wilson (1927)\",\n  \"cases\": [\n")
cat(paste(rows, collapse = ",\n"), "\n  ]\n}\n")
