-- One row per law and clinic: nothing that a clinic sent is lost on the way to a case.
-- key:  law_number, clinic
-- from: raw.files, layout.stays, stage.stay_rows, stage.stays, standard.stays, mart.stays, mart.cases
--
-- The left side is counted by another way than the right: by the independent reader, or one room earlier.
with files as (
    select
        clinic,
        sum(records_counted) as counted,
        sum(title_rows + totals_rows) as set_aside,
        sum(left_out_rows) as left_out,
        sum(refused_rows) as refused,
        sum(raw_rows) as raw
    from raw.files
    group by clinic
),

staged as (
    select
        clinic,
        count(*) as rows_read,
        count(*) filter (where refusal_reason is not null) as refused
    from stage.stay_rows
    group by clinic
),

standing as (
    select
        clinic,
        count(*) as staged,
        count(*) filter (where standing = 'current') as current,
        count(*) filter (where standing = 'superseded') as superseded,
        count(*) filter (where standing = 'repeat') as repeats,
        coalesce(sum(animal_count - 1) filter (where standing = 'current' and animal_count > 1), 0) as more_animals
    from stage.stays
    group by clinic
),

animals as (
    select clinic, count(*) as stays from standard.stays group by clinic
),

in_cases as (
    select stays.clinic, count(*) as stays
    from mart.stays as stays
    inner join mart.cases as cases on stays.case_id = cases.case_id
    group by stays.clinic
),

laid_out as (
    select clinic, count(*) as rows_laid_out from layout.stays group by clinic
)

select
    *,
    left_side = right_side as holds
from (
    select files.clinic, unnest([
        struct_pack(
            law_number := 1, law := 'records in the files = title and totals rows + left out + refused + read',
            left_side := counted, right_side := set_aside + left_out + files.refused + raw,
            detail := concat_ws(' + ', set_aside, left_out, files.refused, raw)
        ),
        struct_pack(
            law_number := 2, law := 'stay records read = refused + staged',
            left_side := rows_laid_out, right_side := staged.refused + coalesce(staged, 0),
            detail := concat_ws(' + ', staged.refused, coalesce(staged, 0))
        ),
        struct_pack(
            law_number := 3, law := 'staged = current + superseded + repeats',
            left_side := coalesce(staged, 0), right_side := coalesce(current + superseded + repeats, 0),
            detail := concat_ws(' + ', current, superseded, repeats)
        ),
        struct_pack(
            law_number := 4, law := 'current records + further animals of clutches = stays',
            left_side := coalesce(current + more_animals, 0), right_side := coalesce(animals.stays, 0),
            detail := concat_ws(' + ', current, more_animals)
        ),
        struct_pack(
            law_number := 5, law := 'stays = stays in cases',
            left_side := coalesce(animals.stays, 0), right_side := coalesce(in_cases.stays, 0),
            detail := cast(in_cases.stays as varchar)
        )
    ], recursive := true)
    from files
    left join laid_out on files.clinic = laid_out.clinic
    left join staged on files.clinic = staged.clinic
    left join standing on files.clinic = standing.clinic
    left join animals on files.clinic = animals.clinic
    left join in_cases on files.clinic = in_cases.clinic
)
