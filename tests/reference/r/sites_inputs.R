# Writes sites_nc_sids.csv into this folder (or into the folder named as argument): sudden infant deaths and births
# in the counties of North Carolina, 1974-78 and 1979-84, and the counties' centres.
# Data set nc.sids of R's spData (CC0), after Cressie (1991), Statistics for Spatial Data, pp. 386-9.
suppressMessages(library(spData))
folder <- commandArgs(trailingOnly = TRUE)
folder <- if (length(folder)) folder[1] else "."
data(nc.sids)
write.csv(data.frame(
  county = rownames(nc.sids), longitude = nc.sids$lon, latitude = nc.sids$lat,
  births_74 = nc.sids$BIR74, deaths_74 = nc.sids$SID74, births_79 = nc.sids$BIR79, deaths_79 = nc.sids$SID79
), file.path(folder, "sites_nc_sids.csv"), row.names = FALSE, quote = FALSE)
