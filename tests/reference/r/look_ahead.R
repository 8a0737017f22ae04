# Landmark incidence: animals still at risk at the end of the landmark, time counted from there (survival::survfit).
suppressMessages(library(survival))
show <- function(name, value) cat(sprintf("%s,%.10g\n", name, value), sep = "")
cat("quantity,value\n")

m <- mgus2
m$months <- with(m, ifelse(pstat == 0, futime, ptime))
m$cause <- factor(with(m, ifelse(pstat == 0, 2 * death, 1)), 0:2, c("censored", "pcm", "death"))
for (landmark in c(0, 24)) {
  rows <- subset(m, months > landmark)
  fit <- survfit(Surv(months - landmark, cause) ~ 1, data = rows, conf.type = "log-log")
  at <- summary(fit, times = c(7, 14, 28))
  for (k in 1:3) {
    name <- paste(landmark, c("still", "pcm", "death")[k], c(7, 14, 28))
    show(paste(name, "chance"), at$pstate[, k])
    show(paste(name, "low"), at$lower[, k])
    show(paste(name, "high"), at$upper[, k])
  }
  show(paste(landmark, "animals"), nrow(rows))
}
