# Figures of channelGlr.json. Run: Rscript tests/reference/channelGlr.R
# 40 channels of 12 MHz, a suck-out and a ripple of one echo in values that are not noise but whole numbers mod 7, so that
# anybody gets the same. Least squares beside the smooth shapes by lm(); places by optim().
f <- 57 + 12 * (0:39)
m <- mean(f)
dither <- 0.02 * (((1:40)^2 %% 7) - 3)
smooth <- cbind(1, f / m - 1, sqrt(f / m) - 1, m / f, (m / f)^2)
rss <- function(y, extra = NULL) sum(lm.fit(cbind(smooth, extra), y)$residuals^2)

notch <- function(centre, width) 1 / (1 + (2 * (f - centre) / width)^2)
y1 <- -0.8 * notch(301, 40) + 0.3 * f / m + dither
best <- optim(c(290, 30), function(p) rss(y1, notch(p[1], p[2])), control = list(reltol = 1e-14, maxit = 5000))
fixed <- lm.fit(cbind(smooth, notch(301, 40)), y1)
wave <- function(ns) cbind(cos(2 * pi * f * ns / 1000), sin(2 * pi * f * ns / 1000))
y2 <- 0.25 * cos(2 * pi * f * 23 / 1000 + 0.7) - 0.2 * f / m + dither
ripple <- optimize(function(ns) rss(y2, wave(ns)), c(22, 24), tol = 1e-10)
w <- lm.fit(cbind(smooth, wave(23)), y2)$coefficients

cat(sprintf('{\n  "source": "R %s, lm.fit and optim: Rscript tests/reference/channelGlr.R",\n', getRversion()))
cat(sprintf('  "notch": { "amplitude": %.6f, "explained": %.6f },\n', fixed$coefficients[6], rss(y1) - rss(y1, notch(301, 40))))
cat(sprintf('  "notchPlaced": { "centreMhz": %.3f, "widthMhz": %.3f, "explained": %.6f },\n', best$par[1], best$par[2], rss(y1) - best$value))
cat(sprintf('  "ripple": { "cosDb": %.6f, "sinDb": %.6f, "explained": %.6f },\n', w[6], w[7], rss(y2) - rss(y2, wave(23))))
cat(sprintf('  "ripplePlaced": { "delayNs": %.4f, "explained": %.6f },\n', ripple$minimum, rss(y2) - ripple$objective))
cat(sprintf('  "deviates": [[1000, %.6f], [1e6, %.6f], [1e9, %.6f]],\n', qnorm(0.5 / 1e3, lower.tail = FALSE), qnorm(0.5 / 1e6, lower.tail = FALSE), qnorm(0.5 / 1e9, lower.tail = FALSE)))
cat(sprintf('  "chiSquare": [[1000, %.6f], [1e9, %.6f]]\n}\n', qchisq(1e-3, 2, lower.tail = FALSE), qchisq(1e-9, 2, lower.tail = FALSE)))
