# Log likelihood ratios of circles under the binomial model, from spatstat, and the best circles of the North
# Carolina deaths by plain loops: sp's distances on the WGS84 ellipsoid, every circle of up to half the births, the
# best of all, then the best that shares no county with those before it.
# Printed with R 4.2.2, spatstat.explore 3.0-6, sp 1.6-0.
suppressMessages({library(spatstat.explore); library(sp)})
ratio <- function(cases, rescues, all_cases, all_rescues)
  spatstat.explore:::scanBinomLRTS(cases, all_cases, rescues, all_rescues, "greater") / 2
cat("quantity,value\n")
circles <- rbind(c(40, 7805, 667, 329962), c(4, 5, 9, 20), c(1, 1, 5, 10), c(12, 12, 12, 40),
                 c(30, 200, 60, 1000), c(7, 100, 60, 1000), c(5, 100, 60, 1000))
for (i in seq_len(nrow(circles)))
  cat(sprintf("ratio %s,%.12g\n", paste(circles[i, ], collapse = "/"), do.call(ratio, as.list(circles[i, ]))))

counties <- read.csv("sites_nc_sids.csv")
far <- spDists(cbind(counties$longitude, counties$latitude), longlat = TRUE)
best_circles <- function(period, deaths, births, how_many = 3) {
  found <- list()
  for (centre in seq_along(births)) {
    near <- order(far[centre, ])
    near <- near[cumsum(births[near]) <= sum(births) / 2]
    ratios <- ratio(cumsum(deaths[near]), cumsum(births[near]), sum(deaths), sum(births))
    for (size in seq_along(near)) found[[length(found) + 1]] <- list(inside = near[1:size], ratio = ratios[size])
  }
  taken <- c()
  for (circle in found[order(-sapply(found, `[[`, "ratio"))]) {
    if (how_many == 0 || any(circle$inside %in% taken)) next
    cat(sprintf("%s %s,%.12g\n", period, paste(counties$county[sort(circle$inside)], collapse = "/"), circle$ratio))
    taken <- c(taken, circle$inside)
    how_many <- how_many - 1
  }
}
best_circles("1974-78", counties$deaths_74, counties$births_74)
best_circles("1979-84", counties$deaths_79, counties$births_79)
best_circles("1974-84", counties$deaths_74 + counties$deaths_79, counties$births_74 + counties$births_79)
