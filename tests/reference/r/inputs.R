# Writes the columns that the tests read from data sets of R packages, one CSV file each, into this folder
# (or into the folder named as argument). Origin and licence: see inputs.md.
suppressMessages({library(survival); library(etm)})
folder <- commandArgs(trailingOnly = TRUE)
folder <- if (length(folder)) folder[1] else "."
keep <- function(frame, name) {
  write.csv(frame, file.path(folder, paste0(name, ".csv")), row.names = FALSE, quote = FALSE)
}

months <- with(mgus2, ifelse(pstat == 0, futime, ptime))
cause <- with(mgus2, ifelse(pstat == 1, "pcm", ifelse(death == 1, "death", "censored")))
keep(data.frame(months, cause, sex = mgus2$sex), "mgus2")
keep(data.frame(lung[c("inst", "time", "status", "age", "sex")], ecog = lung$ph.ecog), "lung")
keep(subset(colon, etype == 2, c(time, status, rx)), "colon")
keep(heart[c("start", "stop", "event", "age", "year", "surgery", "transplant", "id")], "heart")
keep(veteran[c("trt", "time", "status")], "veteran")
keep(MASS::gehan[c("treat", "time", "cens")], "gehan")
data(abortion)
keep(abortion[c("entry", "exit", "group", "cause")], "abortion")

# Spells without ventilation in intensive care: they begin at admission, or later when ventilation ends.
data(sir.cont)
sir.cont$entry <- with(sir.cont, ave(time, id, FUN = function(t) c(0, head(t, -1))))
spells <- subset(sir.cont, from == 0)
keep(with(spells, data.frame(entry = 2 * entry, exit = 2 * time, to)), "sir_cont")  # half days

admissions <- as.data.frame(UCBAdmissions)
keep(admissions, "ucb_admissions")
