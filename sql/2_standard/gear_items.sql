-- One row per piece of tackle of a current stay, in the shared codes: the columns' word, gaps filled from texts.
-- key:  stay_id, gear_item_number
-- from: standard.stated_gear_items, standard.notes_gear, standard.notes_against_columns, codes.gear
--
-- Filled are the empty axes of a stay's only piece, unless texts speak of other gear or another injury than its
-- columns. A stay without a piece may have one made from its texts (notes_gear.sql).
with pieces as (
    select *, count(*) over (partition by stay_id) = 1 as is_only_piece, true as is_in_columns
    from standard.stated_gear_items
    union all by name
    select stay_id, clinic, 1 as gear_item_number, true as is_only_piece, false as is_in_columns
    from standard.notes_gear
    anti join standard.stated_gear_items as stated using (stay_id)
    where may_make_a_piece
),

differing as (
    select distinct stay_id from standard.notes_against_columns where axis in ('gear', 'injury')
),

fillings as (
    select
        said.* replace (if(gear.is_hook = 'no', null, said.hook_kind_code) as hook_kind_code),
        pieces.gear_item_number
    from standard.notes_gear as said
    inner join pieces on said.stay_id = pieces.stay_id and pieces.is_only_piece
    anti join differing on said.stay_id = differing.stay_id
    left join codes.gear as gear on coalesce(pieces.gear_code, said.gear_code) = gear.code
)

select
    pieces.* exclude (is_only_piece) replace (
        coalesce(pieces.gear_code, said.gear_code) as gear_code,
        coalesce(pieces.injury_code, said.injury_code) as injury_code,
        coalesce(pieces.hook_kind_code, said.hook_kind_code) as hook_kind_code,
        coalesce(pieces.body_site_code, said.body_site_code) as body_site_code,
        coalesce(pieces.line_trailing_code, said.line_trailing_code) as line_trailing_code,
        coalesce(pieces.lead_code, said.lead_code) as lead_code
    ),
    list_filter([
        if(pieces.gear_code is null and said.gear_code is not null, 'gear', ''),
        if(pieces.injury_code is null and said.injury_code is not null, 'injury', ''),
        if(pieces.hook_kind_code is null and said.hook_kind_code is not null, 'hook_kind', ''),
        if(pieces.body_site_code is null and said.body_site_code is not null, 'body_site', ''),
        if(pieces.line_trailing_code is null and said.line_trailing_code is not null, 'line_trailing', ''),
        if(pieces.lead_code is null and said.lead_code is not null, 'lead', '')
    ], lambda axis: axis <> '') as axes_from_notes
from pieces
left join fillings as said on pieces.stay_id = said.stay_id and pieces.gear_item_number = said.gear_item_number
