-- One row per bin that stood, or had stood, on the day that the analyses speak of.
-- key:  bin_id
-- from: place.bins
--
-- A bin whose installation was yet to come is left out, and a removal yet to come is not known.
-- siting_from: the first day of the record that its siting was decided on, taken to be the year before the decision, or
-- before the installation where the decision has no day.
-- is_first: no other bin had stood at its site before, so that before and after mean without and with a bin.
select
    bin_id,
    site_id,
    decided,
    installed,
    cast(coalesce(decided, installed) - interval 1 year as date) as siting_from,
    if(removed <= $as_of, removed, null) as removed,
    row_number() over (partition by site_id order by installed, bin_id) = 1 as is_first
from place.bins
where installed <= $as_of
