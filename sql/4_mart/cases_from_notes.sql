-- One row per case of which some tackle, procedure, finding or the ending was read in a text.
-- key:  case_id
-- from: mart.stays, mart.gear_items, mart.procedures, mart.findings
select case_id from mart.gear_items where from_notes
union
select case_id from mart.procedures where from_notes
union
select case_id from mart.findings where from_notes
union
select case_id from mart.stays where is_outcome_from_notes or is_outcome_date_from_notes
