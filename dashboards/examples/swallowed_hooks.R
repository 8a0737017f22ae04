# A worked example in R: how do turtles with a swallowed hook end, and how long does it take?
#
#   unsnag extract WORKSPACE swallowed_hook_turtles --to turtles
#   Rscript swallowed_hooks.R turtles
#
# It reads cases.csv of the extract and needs the package survival, which comes with R.

library(survival)

folder <- commandArgs(trailingOnly = TRUE)[1]
cases <- read.csv(file.path(folder, "cases.csv"), na.strings = "", stringsAsFactors = FALSE)
cat(nrow(cases), "cases\n\n")

# Released among released, died and euthanased, with exact limits, for each group of animals.
resolved <- subset(cases, is_alive_on_arrival == "true" & outcome_class %in% c("released", "died", "euthanased"))
for (group in sort(unique(resolved$taxon_group_code))) {
  endings <- resolved$outcome_class[which(resolved$taxon_group_code == group)]
  test <- binom.test(sum(endings == "released"), length(endings))
  cat(sprintf("%s: %d of %d released, %.1f %% (%.1f to %.1f)\n", group, test$statistic, test$parameter,
              100 * test$estimate, 100 * test$conf.int[1], 100 * test$conf.int[2]))
}

# Share that had ended in each way by a day; endings compete, and cases still in care are censored.
seen <- subset(cases, is_alive_on_arrival == "true" & !is.na(stay_days))
seen$ending <- ifelse(seen$outcome_class %in% c("released", "died", "euthanased"), seen$outcome_class, "in care")
seen$ending <- factor(seen$ending, levels = c("in care", "released", "died", "euthanased"))
# An animal that leaves on its first day was in care for part of it: survfit takes no stay of length zero.
curve <- survfit(Surv(seen$stay_days + 0.5, seen$ending) ~ 1)
at <- summary(curve, times = c(7, 30, 90, 180) + 0.5, extend = TRUE)
shares <- round(100 * at$pstate[, -1], 1)
dimnames(shares) <- list(day = at$time - 0.5, curve$states[-1])
cat("\nPercent that had ended so by the day\n")
print(shares)
