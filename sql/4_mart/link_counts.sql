-- One row per kind of link and evidence: how many stays were joined, and how many pairs are open.
-- key:  kind, basis
-- from: link.links, link.grey_pairs
select kind, basis, count(*) as pairs from link.links group by kind, basis
union all
select kind, 'open', count(*) from link.grey_pairs where would_join group by kind
