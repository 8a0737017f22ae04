-- One row per question that a clinic alone can answer, its rows named by its own numbers.
-- key:  clinic, question_number
-- from: checks.found, checks.rules, raw.files
--
-- Words without a code and places without a point are the steward's business and stand in tables of their own; so
-- is what a remedy says of the steward's files.
select
    found.clinic,
    row_number() over (
        partition by found.clinic
        order by
            list_position(['refused', 'withheld', 'question'], rules.level), found.rule, files.path, found.row_number,
            found.case_number, found.detail
    ) as question_number,
    rules.level,
    found.rule,
    rules.label,
    regexp_replace(rules.remedy, ', or [^;]*(clinic\.toml|gazetteer\.csv).*$', '') as remedy,
    found.case_number,
    regexp_replace(files.path, '^clinics/[^/]*/', '') as file,
    found.row_number,
    found.detail
from checks.found as found
inner join checks.rules as rules on found.rule = rules.rule
left join raw.files as files on found.file_id = files.file_id
where found.rule not in ('unmapped_words', 'place_not_found')
