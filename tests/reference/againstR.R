# What againstR.test.ts compares: R's own functions on values that are not random, so that both sides make the same.
# Called with one argument, a JSON-like list of numbers separated by commas.
y <- as.numeric(strsplit(commandArgs(TRUE)[1], ",")[[1]])
n <- length(y)
x1 <- (1:n) / n
x2 <- sqrt(1:n)
slopes <- outer(1:n, 1:n, function(i, j) ifelse(j > i, (y[j] - y[i]) / (j - i), NA))
signs <- outer(1:n, 1:n, function(i, j) ifelse(j > i, sign(y[j] - y[i]), 0))
z <- c(-9, -5, -2.5, -0.3, 0, 0.7, 1.96, 4, 6)
number <- function(v) paste0("[", paste(sprintf("%.12g", v), collapse = ", "), "]")
cat("{", '"lm":', number(lm(y ~ x1 + x2)$coefficients), ',"mad":', number(mad(y)), ',"median":', number(median(y)))
cat(',"slope":', number(median(slopes, na.rm = TRUE)), ',"s":', number(sum(signs)), ',"pnorm":', number(pnorm(z)), "}")
