-- How codes, ids and addresses of cells are published.

-- A code as it may be published beside a single case: 'withheld' if its cell is. A silent record is masked like the
-- cell 'not_stated', where it is counted there, or the masked rows would be the withheld cells' number.
create or replace macro masked(hidden, axis, code, is_counted) as
    case
        when list_contains(hidden, axis || '=' || coalesce(code, if(is_counted, 'not_stated', ''))) then 'withheld'
        else code
    end;

-- A published id out of a private one: a keyed hash (HMAC's nesting), so that nobody without the network's secret
-- can try case numbers until one fits. 64 bits: two of a million cases collide with a chance of 1 in 37 million.
create or replace macro pseudonym(private_id, secret) as
    left(sha256(secret || sha256(secret || private_id)), 16);

-- A name of code as a person writes it: 'body_site' is 'Body site'.
create or replace macro in_letters(name) as upper(name[1]) || replace(name[2:], '_', ' ');

-- The address of a group of animals that are alike, as published cells have it; an axis that is not asked for is 'all'.
create or replace macro like_cell(injury, body_site, taxon_group, severity) as coalesce(nullif(concat_ws(
    '|',
    'injury=' || nullif(injury, 'all'), 'body_site=' || nullif(body_site, 'all'),
    'taxon_group=' || nullif(taxon_group, 'all'), 'severity=' || nullif(severity, 'all')
), ''), 'all=all');
