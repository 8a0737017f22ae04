# Cox models: strata, robust variance by cluster, late entries, proportional hazards; Efron's ties throughout.
suppressMessages(library(survival))
show <- function(name, value) cat(sprintf("%s,%.10g\n", name, value), sep = "")
cat("quantity,value\n")
cox <- function(name, formula, data, cluster) {
  plain <- do.call(coxph, list(formula, data = data))   # so that cox.zph finds its data again
  data$group <- cluster
  robust <- coxph(formula, data, cluster = group)
  terms <- seq_along(coef(plain))
  show(paste(name, terms, "coefficient"), coef(plain))
  show(paste(name, terms, "se"), sqrt(diag(vcov(plain))))
  show(paste(name, terms, "robust se"), sqrt(diag(vcov(robust))))
  zph <- cox.zph(plain, transform = "km", terms = FALSE, global = FALSE)$table
  show(paste(name, terms, "proportional"), zph[, "chisq"])
}

d <- subset(lung, !is.na(ph.ecog) & !is.na(inst))
pairs <- (seq_len(nrow(d)) - 1) %/% 2        # two rows a cluster, across strata
cox("lung", Surv(time, status) ~ sex, lung, seq_len(nrow(lung)))
cox("strata", Surv(time, status) ~ sex + age + ph.ecog + strata(inst), d, pairs)

# Months instead of days: heavy ties, and stays that end on day 0.
d$month <- d$time %/% 28
d$entry <- ifelse(seq_len(nrow(d)) %% 5 == 0, pmin(2, d$month), 0)
cox("ties", Surv(month + 0.5, status) ~ sex + age + ph.ecog + strata(inst), d, pairs)
cox("entry", Surv(entry - 0.5, month, status) ~ sex + age + ph.ecog + strata(inst), d, pairs)

# Stanford heart transplant: time-dependent treatment, rows of one patient together.
cox("heart 1", Surv(start, stop, event) ~ transplant, heart, heart$id)
cox("heart 4", Surv(start, stop, event) ~ transplant + age + year + surgery, heart, heart$id)
