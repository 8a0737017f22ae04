-- One row per pretended date: the analysis of all bins with bins pretended where none stood yet; a sound one finds 1.
-- key:  days_earlier
-- from: result.bin_placebos
--
-- columns:
--   days_earlier: days before the real siting at which bins were pretended
--   ratio: as in bin_effects; 1 but for chance
--   low: lower 95 % limit
--   high: upper 95 % limit; infinite where the data set none
--   bin_sites: sites with a pretended bin
--   comparison_sites: sites without one
--   says: whether it could be estimated
select
    cast(days_earlier as integer) as days_earlier, round(ratio, 2) as ratio, round(low, 2) as low,
    round(high, 2) as high, bin_sites, comparison_sites, says
from result.bin_placebos
order by days_earlier
