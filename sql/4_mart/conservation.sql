-- One row per law and clinic: nothing that a clinic sent is lost on the way to a case.
-- key:  law_number, clinic
-- from: mart.record_counts
--
-- The left side is counted by another way than the right: by the independent reader, or one room earlier.
select
    *,
    left_side = right_side as holds
from (
    select clinic, unnest([
        struct_pack(
            law_number := 1, law := 'records in the files = title and totals rows + left out + refused + read',
            left_side := counted, right_side := set_aside + left_out + refused_on_reading + rows_read,
            detail := concat_ws(' + ', set_aside, left_out, refused_on_reading, rows_read)
        ),
        struct_pack(
            law_number := 2, law := 'rows read that tell of a stay = stay records',
            left_side := patient_rows, right_side := stay_records, detail := cast(stay_records as varchar)
        ),
        struct_pack(
            law_number := 3, law := 'stay records = refused + staged',
            left_side := stay_records, right_side := refused_stays + staged,
            detail := concat_ws(' + ', refused_stays, staged)
        ),
        struct_pack(
            law_number := 4, law := 'staged = current + superseded + repeats',
            left_side := staged, right_side := current_records + superseded + repeats,
            detail := concat_ws(' + ', current_records, superseded, repeats)
        ),
        struct_pack(
            law_number := 5, law := 'current records + further animals of clutches = stays',
            left_side := current_records + more_animals, right_side := stays,
            detail := concat_ws(' + ', current_records, more_animals)
        ),
        struct_pack(
            law_number := 6, law := 'stays = stays in cases',
            left_side := stays, right_side := stays_in_cases, detail := cast(stays_in_cases as varchar)
        )
    ], recursive := true)
    from mart.record_counts
)
