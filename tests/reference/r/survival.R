# Kaplan-Meier with log(-log) limits, medians, and the cumulative hazard.
suppressMessages(library(survival))
show <- function(name, value) cat(sprintf("%s,%.10g\n", name, value), sep = "")
cat("quantity,value\n")
curve <- function(name, time, ended, times) {
  fit <- survfit(Surv(time, ended) ~ 1, conf.type = "log-log")
  at <- summary(fit, times = times)
  show(paste(name, times, "survival"), at$surv)
  show(paste(name, times, "se"), at$std.err)
  show(paste(name, times, "low"), at$lower)
  show(paste(name, times, "high"), at$upper)
  show(paste(name, times, "hazard"), at$cumhaz)
  show(paste(name, times, "hazard se"), at$std.chaz)
  show(paste(name, 50, c("median", "median low", "median high")), unlist(quantile(fit, 0.5)))
}
for (who in 1:2)
  with(subset(lung, sex == who), curve(paste("lung", who), time, status == 2, c(180, 365, 700)))
for (arm in 1:2)
  with(subset(veteran, trt == arm), curve(paste("veteran", arm), time, status == 1, c(30, 100, 300)))

# Quantiles of completed stays.
ended <- lung$time[lung$status == 2]
show(paste("stays", c("25", "50", "75", "90")), quantile(ended, c(0.25, 0.5, 0.75, 0.9), type = 2))
