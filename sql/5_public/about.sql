-- What this release is: the network, its day, its size.
-- key:  key
-- from: run.about, mart.cases, mart.stays, raw.files, clinic.clinics, clinic.missing, clinic.letters, clinic.network
--
-- columns:
--   key: name of the statement
--   value: the statement
select * from (
    select unnest([
    struct_pack(key := 'network_name', value := network.name),
    struct_pack(key := 'invented', value := cast(network.invented as varchar)),
    struct_pack(key := 'as_of', value := cast(about.as_of as varchar)),
    struct_pack(key := 'clinics', value := (select cast(count(*) as varchar) from clinic.clinics)),
    struct_pack(key := 'clinics_missing', value := (select cast(count(*) as varchar) from clinic.missing)),
    struct_pack(key := 'clinics_missing_letters', value := (
        select string_agg(letters.letter, ', ' order by letters.letter)
        from clinic.missing as missing inner join clinic.letters as letters on missing.clinic = letters.clinic
    )),
    struct_pack(key := 'files_read', value := (select cast(count(*) as varchar) from raw.files)),
    struct_pack(key := 'records_counted', value := (select cast(sum(records_counted) as varchar) from raw.files)),
    struct_pack(key := 'stays', value := (select cast(count(*) as varchar) from mart.stays)),
    struct_pack(key := 'cases', value := (select cast(count(*) as varchar) from mart.cases)),
    struct_pack(key := 'tackle_cases', value := (select cast(count(*) as varchar) from mart.cases where is_tackle)),
    struct_pack(
        key := 'cases_joined', value := (select cast(count(*) as varchar) from mart.cases where stay_count > 1)
    ),
    struct_pack(key := 'minimum_clinics', value := cast(network.minimum_clinics as varchar)),
    struct_pack(key := 'minimum_for_percentage', value := cast(network.minimum_for_percentage as varchar)),
    struct_pack(key := 'grid_degrees', value := cast(network.grid_degrees as varchar)),
    struct_pack(key := 'licence', value := network.licence),
    struct_pack(key := 'licence_id', value := network.licence_id),
    struct_pack(key := 'licence_url', value := network.licence_url),
    struct_pack(key := 'contact', value := network.contact),
    struct_pack(key := 'cite_as', value := coalesce(network.cite_as, network.name || ', published cases')),
    struct_pack(key := 'conditions', value := network.conditions),
    struct_pack(key := 'use', value := concat_ws(
        ' ',
        coalesce(
            'Licence: ' || network.licence || ' (' || network.licence_url || ').',
            'No licence is stated: ask the network before you use these data.'
        ),
        rtrim(network.conditions, '.') || '.',
        'Cite as: ' || coalesce(network.cite_as, network.name || ', published cases')
        || ', as of ' || about.as_of || '.',
        'Questions: ' || network.contact || '.',
        'Do not try to find out who the clinics, people or places are, nor link these data with others to that end.'
    )),
    struct_pack(key := 'version', value := about.version)
], recursive := true)
    from run.about as about
    cross join clinic.network as network
)
order by key
