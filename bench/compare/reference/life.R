suppressMessages(library(survival))
arguments <- commandArgs(trailingOnly = TRUE)
n <- file.info(arguments[1])$size / 16
m <- matrix(readBin(arguments[1], "double", n = 2 * n, endian = "little"), nrow = 2)
age <- m[1, ]
failed <- m[2, ]
seconds <- Inf
for (i in seq_len(as.integer(arguments[2]))) {
  seconds <- min(seconds, system.time(
    fit <- survreg(Surv(age, failed) ~ 1, dist = "weibull", control = survreg.control(rel.tolerance = 1e-12)))[["elapsed"]])
}
shape <- 1 / fit$scale
cat(sprintf('{"Version": "R %s.%s, survival %s", "Seconds": %.6f, "Shape": %.12g, "Scale": %.12g, "ShapeSE": %.12g, "LogLik": %.12g}\n',
  R.version$major, R.version$minor, packageVersion("survival"), seconds, shape, exp(coef(fit)[[1]]),
  shape * sqrt(fit$var[2, 2]), fit$loglik[2]))
