-- One row per incident whose place is known well enough to be counted there: the spot that stands for it.
-- key:  incident_id
-- from: mart.incidents, mart.sites
--
-- The spot is the incident's site, or else its point to a hundredth of a degree (about a kilometre), so that one jetty
-- is one place however its finders measured it.
select
    incidents.incident_id,
    incidents.clinic,
    incidents.incident_date,
    incidents.admission_year,
    incidents.is_tackle,
    incidents.is_compared,
    incidents.council,
    incidents.site_id,
    coalesce(sites.latitude, round(incidents.latitude, 2)) as latitude,
    coalesce(sites.longitude, round(incidents.longitude, 2)) as longitude
from mart.incidents as incidents
left join mart.sites as sites on incidents.site_id = sites.site_id
where incidents.latitude is not null and incidents.longitude is not null
    and coalesce(incidents.place_uncertainty_m, 0) <= $most_uncertain_m
