# Exact and score limits of a proportion from base R.
count <- c(99, 12, 0, 5, 1, 37)
total <- c(111, 111, 20, 5, 29, 80)
cat("quantity,value\n")
for (i in seq_along(count)) {
  exact <- binom.test(count[i], total[i])$conf.int
  score <- suppressWarnings(prop.test(count[i], total[i], correct = FALSE))$conf.int
  name <- paste0(c("exact low ", "exact high ", "score low ", "score high "), count[i], "/", total[i])
  cat(sprintf("%s,%.10f\n", name, c(exact, score)), sep = "")
}
