-- Reporting guidelines of observational studies: what each item asks, and where this report answers it.
-- key:  guideline, item
-- from: codes.reporting_items
--
-- columns:
--   guideline: STROBE-Vet (Sargeant et al. 2016), RECORD (Benchimol et al. 2015) or TARGET (Cashin et al. 2025)
--   item: number of the item in the published list; of TARGET the part of the list
--   asks: what the item asks, in our words
--   answered_in: title of the section, or the document, that answers it
--   how: what is found there, or that it is not
select guideline, item, asks, answered_in, how
from codes.reporting_items
order by list_position(['STROBE-Vet', 'RECORD', 'TARGET'], guideline), try_cast(item as decimal(4, 1)), item
