-- A word of the clinic has no shared code.
-- level: question
-- remedy: Add a row to the clinic's terms.csv; unsnag check prints the rows to paste
-- from: standard.coded_words
select
    clinic,
    cast(null as varchar) as case_number,
    cast(null as integer) as file_id,
    cast(null as integer) as row_number,
    field || ': ' || word || ' (' || times || ' times)' as detail
from standard.coded_words
where code = 'unmapped'
