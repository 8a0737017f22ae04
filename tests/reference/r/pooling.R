# Cluster-robust rates (clubSandwich), Mantel-Haenszel, standardised rates and beta-binomial shrinkage.
suppressMessages(library(clubSandwich))
show <- function(name, value) cat(sprintf("%s,%.10g\n", name, value), sep = "")
cat("quantity,value\n")

# Deaths in lung cancer by hospital: of all patients, women less men, and with both sexes of equal weight.
known <- survival::lung[!is.na(survival::lung$inst), ]
known$died <- as.numeric(known$status == 2)
robust <- function(name, formula, contrast) {
  fit <- lm(formula, known)
  test <- linear_contrast(fit, vcov = "CR2", cluster = known$inst, contrasts = matrix(contrast, 1))
  show(paste(name, c("estimate", "se", "df")), unlist(test[1, c("Est", "SE", "df")]))
}
robust("rate", died ~ 1, 1)
robust("difference", died ~ 0 + factor(sex), c(-1, 1))
robust("standardised", died ~ 0 + factor(sex), c(0.5, 0.5))

# Departments as case-mix strata, all applicants the standard, genders compared with Wilson's limits combined.
applicants <- apply(UCBAdmissions, 3, sum)
weight <- applicants / sum(applicants)
for (who in c("Male", "Female")) {
  counts <- UCBAdmissions["Admitted", who, ]
  totals <- colSums(UCBAdmissions[, who, ])
  p <- counts / totals
  ci <- sapply(seq_along(p), function(i) prop.test(counts[i], totals[i], correct = FALSE)$conf.int)
  rate <- sum(weight * p)
  show(paste("direct", who, c("rate", "low", "high")),
       rate + c(0, -sqrt(sum((weight * (p - ci[1, ]))^2)), sqrt(sum((weight * (ci[2, ] - p))^2))))
  overall <- apply(UCBAdmissions["Admitted", , ], 2, sum) / applicants
  expected <- sum(totals * overall)
  show(paste("indirect", who, c("ratio", "low", "high")),
       c(sum(counts), sum(totals) * binom.test(sum(counts), sum(totals))$conf.int) / expected)
}

mh <- mantelhaen.test(UCBAdmissions)
show(paste("mantel", c("odds", "low", "high", "statistic", "p")),
     c(mh$estimate, mh$conf.int, mh$statistic, mh$p.value))

# Beta-binomial likelihood over the twelve department-gender groups, by optim.
x <- as.numeric(UCBAdmissions["Admitted", , ])
n <- as.numeric(apply(UCBAdmissions, 2:3, sum))
likelihood <- function(q) -sum(lbeta(x + exp(q[1]), n - x + exp(q[2])) - lbeta(exp(q[1]), exp(q[2])))
fit <- optim(c(0, 0), likelihood, method = "BFGS", control = list(reltol = 1e-15, maxit = 1000))
ab <- exp(fit$par)
show(paste("beta", c("a", "b")), ab)
show(paste("shrunken", seq_along(x)), (x + ab[1]) / (n + sum(ab)))
show(paste("shrunken low", seq_along(x)), qbeta(0.025, x + ab[1], n - x + ab[2]))
