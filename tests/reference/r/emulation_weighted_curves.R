# Weighted curves of emulated trials, computed anew in R: glm for the chances, survfit for the curves.
# Run in this folder: Rscript emulation_weighted_curves.R
# In:  emulation_cases.csv, emulation_events.csv (invented, from unsnag.stats.simulate)
#      emulation_demo_cases.csv, emulation_demo_events.csv (invented, the demo's question swallowed_hook_turtle)
# Out: the same names with _daily_chance.out.csv and _weighted_curves.out.csv
library(survival)

endings <- c("released", "died", "euthanased", "other")
lost <- c("lost", "transferred")
attempts <- c("retrieval_endoscopy", "retrieval_surgery", "retrieval_manual")

# One row per case and day in care, by plain loops: nothing here is shared with the Python code.
first <- function(mine, kinds) suppressWarnings(min(mine$day[mine$event %in% kinds]))
# Latest of two contrary findings by a day ("" before any), and the days since its unbroken run began.
# Both on one day: yes.
spell <- function(mine, yes, no, day) {
  seen <- mine$event %in% c(yes, no) & mine$day <= day
  if (!any(seen)) return(list(state = "", days = -1))
  on <- sort(unique(mine$day[seen]))
  states <- sapply(on, function(d) any(mine$event[seen & mine$day == d] == yes))
  now <- states[length(states)]
  run <- rev(cumprod(rev(states == now))) == 1
  list(state = if (now) yes else no, days = day - min(on[run]))
}
case_days <- function(one, mine, horizon) {
  last <- mine[mine$event %in% c(endings, lost, "in_care"), ]
  end <- min(last$day, horizon)
  retrieval <- first(mine, attempts)
  passed <- if (is.finite(retrieval)) Inf else first(mine, "gear_passed")
  on <- 0:end
  worse <- lapply(on, function(day) spell(mine, "worse", "improved", day))
  film <- lapply(on, function(day) spell(mine, "moved", "unmoved", day))
  state <- function(spells) sapply(spells, `[[`, "state")
  since <- function(spells, wanted) ifelse(state(spells) == wanted, sapply(spells, `[[`, "days"), -1)
  is_last <- on == end & last$day <= horizon
  data.frame(
    one, day = on, position = ifelse(state(film) == "", "no film yet", state(film)),
    unmoved_days = since(film, "unmoved"), worse_days = since(worse, "worse"),
    film_today = on %in% mine$day[mine$event %in% c("moved", "unmoved")],
    line_cut = first(mine, "line_cut") <= on,
    carrying = on <= retrieval & on < passed, retrieved = on == retrieval,
    surgery = any(mine$event == "retrieval_surgery" & mine$day == retrieval),
    ending = ifelse(is_last & last$event %in% endings, last$event, ""),
    lost = is_last & last$event %in% lost, row.names = NULL
  )
}
person_days <- function(cases, events, horizon) {
  each <- lapply(seq_len(nrow(cases)), function(i) {
    case_days(cases[i, ], events[events$case == cases$case[i], ], horizon)
  })
  days <- do.call(rbind, each)
  days$row <- seq_len(nrow(days))
  days$worse <- days$worse_days >= 0
  days$gear_gone <- !days$carrying
  days
}

fit <- function(left, right, data) {
  glm(as.formula(paste(left, "~", right)), binomial, data, epsilon = 1e-12, maxit = 100)
}
# Target chances: NA is usual practice.
spread <- function(left) ifelse(left > 3, NA, 1 / pmax(left, 1))
watch <- function(days, until) ifelse(days$day < until, 0, NA)
early <- function(days, by) spread(by - days$day + 1)
on_findings <- function(days, unmoved_at) {
  since <- pmax(days$worse_days, pmin(days$unmoved_days, days$day - unmoved_at))
  ifelse(since < 0, 0, 1 / pmax(3 - since, 1))
}

emulate <- function(name, horizon, steps, baseline, targets, with_loss) {
  days <- person_days(read.csv(paste0(name, "_cases.csv")), read.csv(paste0(name, "_events.csv")), horizon)
  for (step in steps) days[[paste0("from", step)]] <- days$day >= step
  times <- paste0("from", steps, collapse = " + ")

  # Chance of retrieval, of surgery if retrieved, of being lost on a day without an ending.
  open <- days$carrying
  # A level in which nobody was retrieved has chance 0, which glm can only approach: it is left out of the fit.
  some <- open & ave(open & days$retrieved, days$severity, FUN = any) == 1
  retrieval <- fit("retrieved", paste(baseline, "+ worse + position + film_today + line_cut +", times), days[some, ])
  days$chance[open] <- 0
  days$chance[some] <- fitted(retrieval)
  staying <- days$ending == ""
  days$loss <- 0
  if (with_loss) {
    loss <- fit("lost", paste(baseline, "+ worse + gear_gone +", times), days[staying, ])
    days$loss[staying] <- fitted(loss)
  }
  write.csv(data.frame(days[open, c("case", "day")], chance = format(days$chance[open], digits = 12)),
            paste0(name, "_daily_chance.out.csv"), row.names = FALSE, quote = FALSE)

  curve <- function(strategy) {
    if (strategy == "surgery_first") {
      means <- fit("surgery", paste(baseline, "+ worse"), days[open & days$retrieved, ])
      by_surgery <- suppressWarnings(predict(means, days, type = "response"))
      factor <- ifelse(open & days$retrieved, ifelse(days$surgery, 1 / by_surgery, 0), 1)
    } else {
      target <- rep_len(targets[[strategy]](days), nrow(days))
      factor <- ifelse(days$retrieved, target / days$chance, (1 - target) / (1 - days$chance))
      factor[!open | is.na(target)] <- 1
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
    data.frame(strategy = strategy, day = 0:horizon, format(values, digits = 12, scientific = FALSE))
  }
  curves <- do.call(rbind, lapply(names(targets), curve))
  names(curves) <- c("strategy", "day", endings)
  write.csv(curves, paste0(name, "_weighted_curves.out.csv"), row.names = FALSE, quote = FALSE)
}

emulate("emulation", 30, c(2, 10), "clinic + body_site + severity + taxon_group", with_loss = TRUE, list(
  watch = function(days) watch(days, 14),
  early = function(days) early(days, 7),
  on_findings = function(days) on_findings(days, 10),
  surgery_first = NA
))
# No film is taken before day 7 and all have one by then: "from day 7" would repeat "no film yet".
emulate("emulation_demo", 120, c(1, 2, 4, 10, 14, 21, 28), "clinic + severity + body_site + line_trailing",
        with_loss = FALSE, list(
  early = function(days) early(days, 7),
  watch = function(days) watch(days, 21),
  on_findings = function(days) on_findings(days, 14)
))
cat(R.version.string, "survival", format(packageVersion("survival")), "\n")
