# Trend of a rate over days: the slope of a Poisson regression of daily counts on the day, and Rao's score test of no
# slope, for three invented records. Printed with R 4.2.2.
cat("quantity,value\n")
records <- list(
  falling = list(days = c(3, 10, 14, 30, 41, 77, 120, 200, 333, 410, 612), last = 729),
  rising = list(days = c(100, 300, 420, 500, 560, 600, 640, 655, 690, 700, 710, 725), last = 729),
  flat = list(days = seq(20, 1080, by = 40), last = 1095)
)
for (name in names(records)) {
  counts <- tabulate(records[[name]]$days + 1, records[[name]]$last + 1)
  year <- (seq_along(counts) - 1) / 365.25
  exactly <- list(epsilon = 1e-14, maxit = 100)
  fit <- glm(counts ~ year, family = poisson, control = exactly)
  none <- glm(counts ~ 1, family = poisson, control = exactly)
  score <- anova(none, fit, test = "Rao")
  cat(sprintf("%s ratio,%.12g\n%s p_value,%.12g\n", name, exp(coef(fit)[2]), name, score[["Pr(>Chi)"]][2]), sep = "")
}
