# Weighted curves of an emulated trial, computed anew in R: glm for the chances, survfit for the curves.
# Run in this folder: Rscript emulation_weighted_curves.R
# In:  emulation_cases.csv, emulation_events.csv (invented, from unsnag.stats.simulate)
# Out: emulation_daily_chance.out.csv, emulation_weighted_curves.out.csv
library(survival)

horizon <- 30
steps <- c(2, 10)
endings <- c("released", "died", "euthanased", "other")
cases <- read.csv("emulation_cases.csv")
events <- read.csv("emulation_events.csv")

# One row per case and day in care, by plain loops: nothing here is shared with the Python code.
rows <- list()
for (i in seq_len(nrow(cases))) {
  mine <- events[events$case == cases$case[i], ]
  first <- function(kinds) suppressWarnings(min(mine$day[mine$event %in% kinds]))
  last <- mine[mine$event %in% c(endings, "lost", "in_care"), ]
  end <- min(last$day, horizon)
  retrieval <- first(c("retrieval_endoscopy", "retrieval_surgery"))
  passed <- if (is.finite(retrieval)) Inf else first("gear_passed")
  films <- mine[mine$event %in% c("moved", "unmoved"), ]
  for (day in 0:end) {
    seen <- films[films$day <= day, ]
    seen <- seen[order(seen$day), ]
    position <- if (nrow(seen) == 0) "no film yet" else tail(seen$event, 1)
    unmoved_days <- -1
    if (position == "unmoved") {
      still <- rev(cumprod(rev(seen$event == "unmoved")))
      unmoved_days <- day - min(seen$day[still == 1])
    }
    rows[[length(rows) + 1]] <- data.frame(
      cases[i, ], day = day, position = position, unmoved_days = unmoved_days,
      worse_days = if (first("worse") <= day) day - first("worse") else -1,
      film_today = any(films$day == day), line_cut = first("line_cut") <= day,
      carrying = day <= retrieval && day < passed, retrieved = day == retrieval,
      surgery = any(mine$event == "retrieval_surgery" & mine$day == retrieval),
      ending = if (day == end && last$day <= horizon && last$event %in% endings) last$event else "",
      lost = day == end && last$day <= horizon && last$event == "lost"
    )
  }
}
days <- do.call(rbind, rows)
days$row <- seq_len(nrow(days))
days$worse <- days$worse_days >= 0
days$gear_gone <- !days$carrying
for (step in steps) days[[paste0("from", step)]] <- days$day >= step
baseline <- "clinic + body_site + severity + taxon_group"
times <- paste0("from", steps, collapse = " + ")
fit <- function(left, right, data) {
  glm(as.formula(paste(left, "~", right)), binomial, data, epsilon = 1e-12, maxit = 100)
}

# Chance of retrieval, of surgery if retrieved, of being lost on a day without an ending.
open <- days$carrying
retrieval <- fit("retrieved", paste(baseline, "+ worse + position + film_today + line_cut +", times), days[open, ])
days$chance[open] <- fitted(retrieval)
means <- fit("surgery", paste(baseline, "+ worse"), days[open & days$retrieved, ])
days$by_surgery <- suppressWarnings(predict(means, days, type = "response"))
staying <- days$ending == ""
loss <- fit("lost", paste(baseline, "+ worse + gear_gone +", times), days[staying, ])
days$loss[staying] <- fitted(loss)
write.csv(data.frame(days[open, c("case", "day")], chance = format(days$chance[open], digits = 12)),
          "emulation_daily_chance.out.csv", row.names = FALSE, quote = FALSE)

spread <- function(left) ifelse(left > 3, NA, 1 / pmax(left, 1))
targets <- list(
  watch = ifelse(days$day < 14, 0, NA),
  early = spread(7 - days$day + 1),
  on_findings = local({
    since <- pmax(days$worse_days, pmin(days$unmoved_days, days$day - 10))
    ifelse(since < 0, 0, 1 / pmax(3 - since, 1))
  }),
  surgery_first = NA
)
curve <- function(name) {
  target <- rep_len(targets[[name]], nrow(days))
  factor <- ifelse(days$retrieved, target / days$chance, (1 - target) / (1 - days$chance))
  factor[!open | is.na(target)] <- 1
  if (name == "surgery_first") {
    factor <- ifelse(open & days$retrieved, ifelse(days$surgery, 1 / days$by_surgery, 0), factor)
  }
  # Loss on a day follows that day's endings: its factor works from the next day.
  kept <- ave(ifelse(staying, 1 / (1 - days$loss), 1), days$case, FUN = function(x) cumprod(c(1, head(x, -1))))
  days$weight <- ave(factor, days$case, FUN = cumprod) * kept
  days$status <- factor(days$ending, c("", endings))
  # Every day has its own id: survfit takes a subject's weight from its first row only (survival 3.5-3).
  left <- survfit(Surv(day, day + 1, status) ~ 1, days[days$weight > 0, ], weights = weight, id = row)
  at <- summary(left, times = 1:(horizon + 1), extend = TRUE)
  values <- at$pstate[, match(endings, left$states)]
  values[is.na(values)] <- 0
  data.frame(strategy = name, day = 0:horizon, format(values, digits = 12, scientific = FALSE))
}
curves <- do.call(rbind, lapply(names(targets), curve))
names(curves) <- c("strategy", "day", endings)
write.csv(curves, "emulation_weighted_curves.out.csv", row.names = FALSE, quote = FALSE)
cat(R.version.string, "survival", format(packageVersion("survival")), "\n")
