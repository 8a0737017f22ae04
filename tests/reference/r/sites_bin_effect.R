# Change at bin sites over the change at comparison sites, by exact conditional logistic regression: survival's
# clogit on one row an animal, a stratum a site, an own change for each group of sites. Invented counts.
# Printed with R 4.2.2, survival 3.5-3.
suppressMessages(library(survival))
counts <- read.csv("sites_bin_tables.csv")
cat("quantity,value\n")
for (set in unique(counts$set)) {
  sites <- counts[counts$set == set, ]
  animals <- do.call(rbind, lapply(seq_len(nrow(sites)), function(i) with(sites[i, ], data.frame(
    site = site, group = stratum, is_bin = is_bin,
    is_tackle = rep(c(1, 0, 1, 0), c(before_tackle, before_other, after_tackle, after_other)),
    is_after = rep(c(0, 0, 1, 1), c(before_tackle, before_other, after_tackle, after_other))))))
  changes <- sapply(unique(sites$stratum), function(group) animals$is_after * (animals$group == group))
  animals$at_bin <- animals$is_after * animals$is_bin
  fit <- clogit(is_tackle ~ changes + at_bin + strata(site), data = animals, method = "exact")
  cat(sprintf("%s log_ratio,%.10g\n%s standard_error,%.10g\n", set, coef(fit)[["at_bin"]],
              set, sqrt(vcov(fit)["at_bin", "at_bin"])), sep = "")
}
