-- One row per case: how it stands to the councils and the candidate sites, so that none is dropped in silence.
-- key:  case_id
-- from: mart.cases, place.points, place.point_sites, place.sites
--
-- A case belongs to the nearest site within reach, if its place is known well enough for that; an unstated
-- uncertainty counts as good. A jetty may stand beyond its council's border: a case at a site is its council's.
with nearest as (
    select
        latitude, longitude,
        arg_min(site_id, struct_pack(metres := distance_m, id := site_id)) as site_id,
        min(distance_m) as distance_m
    from place.point_sites
    group by latitude, longitude
),

placed as (
    select
        cases.case_id, cases.latitude, cases.longitude, cases.place_uncertainty_m,
        points.council, points.near_council, points.outside_m,
        if(coalesce(cases.place_uncertainty_m, 0) <= $most_uncertain_m, nearest.site_id, null) as site_id,
        nearest.distance_m
    from mart.cases as cases
    left join place.points as points on cases.latitude = points.latitude and cases.longitude = points.longitude
    left join nearest on cases.latitude = nearest.latitude and cases.longitude = nearest.longitude
)

select
    placed.case_id,
    case
        when placed.latitude is null or placed.longitude is null then 'no_place'
        when placed.site_id is not null then 'at_site'
        when placed.council is null
            and placed.outside_m <= greatest($just_outside_m, coalesce(placed.place_uncertainty_m, 0)) then 'just_outside'
        when placed.council is null then 'outside'
        when placed.place_uncertainty_m > $most_uncertain_m then 'too_uncertain'
        else 'away_from_sites'
    end as place_standing,
    coalesce(sites.council, placed.council) as council,
    placed.near_council,
    placed.outside_m,
    placed.site_id,
    if(placed.site_id is null, null, placed.distance_m) as distance_m,
    placed.latitude,
    placed.longitude,
    placed.place_uncertainty_m
from placed
left join place.sites as sites on placed.site_id = sites.site_id
