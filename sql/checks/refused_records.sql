-- A record could not be read as a row of its table: too many cells, or cut off.
-- level: refused
-- remedy: Open the file at that row and mend it at the clinic, or export it again
-- from: raw.refused
select clinic, cast(null as varchar) as case_number, file_id, row_number, reason as detail
from raw.refused
