# Marshall's global empirical Bayes rates (Gamma-Poisson, by moments) from spdep's EBest: two periods of the North
# Carolina deaths, and places that differ by chance alone, where the variance between places falls to 0.
# Printed with R 4.2.2, spdep 1.2-7.
suppressMessages(library(spdep))
counties <- read.csv("sites_nc_sids.csv")
cat("quantity,value\n")
shrunken <- function(set, cases, exposure) {
  fit <- EBest(cases, exposure, family = "poisson")
  cat(sprintf("%s mean,%.12g\n%s variance,%.12g\n", set, attr(fit, "parameters")$b, set, attr(fit, "parameters")$a),
      sep = "")
  cat(sprintf("%s %d,%.12g\n", set, seq_along(cases), fit$estmm), sep = "")
}
shrunken("1974-78", counties$deaths_74, counties$births_74)
shrunken("1979-84", counties$deaths_79, counties$births_79)
shrunken("alike", c(3, 4, 3, 4, 3, 4), c(3, 4, 3, 4, 3, 4))
