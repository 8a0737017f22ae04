# Aalen-Johansen incidence, its variance and log(-log) limits; restricted mean time lost.
suppressMessages({library(survival); library(etm)})
options(digits = 12)
show <- function(name, value) cat(sprintf("%s,%.10g\n", name, value), sep = "")
cat("quantity,value\n")

m <- mgus2
m$months <- with(m, ifelse(pstat == 0, futime, ptime))
m$cause <- factor(with(m, ifelse(pstat == 0, 2 * death, 1)), 0:2, c("censored", "pcm", "death"))
times <- c(60, 120, 240, 360)
for (who in c("all", "F", "M")) {
  rows <- if (who == "all") m else subset(m, sex == who)
  fit <- survfit(Surv(months, cause) ~ 1, data = rows, conf.type = "log-log")
  at <- summary(fit, times = times)
  for (k in 2:3) {
    name <- paste("mgus2", who, fit$states[k], times)
    show(paste(name, "incidence"), at$pstate[, k])
    show(paste(name, "se"), at$std.err[, k])
    show(paste(name, "low"), at$lower[, k])
    show(paste(name, "high"), at$upper[, k])
  }
  lost <- summary(fit, rmean = 240)$table[, "rmean"]
  se <- sqrt(colSums(resid(fit, times = 240, type = "auc")^2))
  show(paste("mgus2", who, fit$states, "240 lost"), lost)
  show(paste("mgus2", who, fit$states, "240 lost se"), se)
}

# Six animals: a tie on day 2, a death with a censoring on day 4, a lone censoring on day 3.
six <- data.frame(day = c(1, 2, 2, 3, 4, 4), cause = factor(c(1, 1, 2, 0, 2, 0), 0:2))
fit <- survfit(Surv(day, cause) ~ 1, data = six)
at <- summary(fit, times = c(1, 2, 4))
for (k in 2:3) {
  show(paste("six", k - 1, c(1, 2, 4), "incidence"), at$pstate[, k])
  show(paste("six", k - 1, c(1, 2, 4), "se"), at$std.err[, k])
}

# Left truncation (etm; a subject that enters in a week is at risk from the next).
truncated <- function(name, rows, causes, times) {
  rows$id <- seq_len(nrow(rows))
  rows$from <- "0"
  tra <- matrix(FALSE, length(causes) + 1, length(causes) + 1)
  tra[1, -1] <- TRUE
  states <- c("0", causes)
  fit <- etm(rows, states, tra, "cens", s = 0)
  for (cause in causes) {
    show(paste(name, cause, times, "incidence"), trprob(fit, paste(0, cause), times))
    show(paste(name, cause, times, "se"), sqrt(trcov(fit, paste(0, cause), times)))
  }
}
data(abortion)
abortion$to <- as.character(abortion$cause)
for (group in 0:1)
  truncated(paste("abortion", group), subset(abortion, group == get("group", 1)), c("1", "2", "3"), c(12, 20, 38, 41))
data(sir.cont)
sir.cont$entry <- with(sir.cont, ave(time, id, FUN = function(t) c(0, head(t, -1))))
sir.cont$exit <- sir.cont$time
spells <- subset(sir.cont, from == 0, c(entry, exit, to))
spells$to <- as.character(spells$to)
truncated("sir_cont", spells, c("1", "2"), c(5, 10, 30, 60))
