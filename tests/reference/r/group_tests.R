# Gray's test, and log-rank tests with and without strata.
suppressMessages({library(survival); library(cmprsk)})
show <- function(name, value) cat(sprintf("%s,%.10g\n", name, value), sep = "")
cat("quantity,value\n")

m <- mgus2
m$months <- with(m, ifelse(pstat == 0, futime, ptime))
m$cause <- with(m, ifelse(pstat == 0, 2 * death, 1))
m$third <- cut(seq_len(nrow(m)) %% 3, 3, labels = FALSE)
gray <- function(name, ...) {
  tests <- cuminc(m$months, m$cause, ...)$Tests
  show(paste(name, rownames(tests), "statistic"), tests[, "stat"])
  show(paste(name, rownames(tests), "p"), tests[, "pv"])
}
gray("gray mgus2 sex", m$sex)
gray("gray mgus2 third", m$third)
gray("gray mgus2 sex by third", m$sex, m$third)

# Few animals, many ties, a group whose members have all ended before the others.
few <- data.frame(day = c(1, 1, 2, 2, 3, 3, 3, 4, 4, 5, 6, 6, 7, 8), cause = c(1, 2, 1, 1, 0, 2, 1, 1, 2, 0, 1, 1, 2, 0),
                  group = c(1, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 3))
tests <- cuminc(few$day, few$cause, few$group)$Tests
show(paste("gray few", rownames(tests), "statistic"), tests[, "stat"])

logrank <- function(name, formula, data) {
  fit <- survdiff(formula, data)
  show(paste(name, "statistic"), fit$chisq)
}
logrank("logrank lung sex", Surv(time, status) ~ sex, lung)
logrank("logrank lung sex by ecog", Surv(time, status) ~ sex + strata(ph.ecog), lung)
logrank("logrank veteran trt", Surv(time, status) ~ trt, veteran)
logrank("logrank colon rx", Surv(time, status) ~ rx, subset(colon, etype == 2))
logrank("logrank gehan treat", Surv(time, cens) ~ treat, MASS::gehan)
