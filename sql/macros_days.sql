-- How days are read.

-- A date's text without its time of day.
create or replace macro without_time(said) as
    case when contains(said, ':') then regexp_replace(said, '[T ]+\d{1,2}:\d\d.*$', '') else said end;

-- A date's text with its month in English and short, as DuckDB reads it: '3 de enero de 2021' is '3 jan 2021'.
create or replace macro english_months(said) as case
    when regexp_matches(said, '\pL')
        then replace(replace(replace(replace(replace(lower(regexp_replace(regexp_replace(
            said, '(?i)\b(ene|jan|feb|mar|abr|apr|may|jun|jul|ago|aug|sep|set|oct|nov|dic|dec)\pL*\.?', '\1', 'g'
        ), '(?i) de ', ' ', 'g')), 'ene', 'jan'), 'abr', 'apr'), 'ago', 'aug'), 'dic', 'dec'), 'set', 'sep')
    else said
end;

-- A calendar day out of text. A stamp with an offset is the day in the clinic's own time zone.
-- Formats with a two-digit year come first, because %Y would read '3.4.21' as the year 21; no clinic has days of then.
-- Months in words are looked for only where digits alone give no day.
create or replace macro as_day(said, date_order, timezone) as nullif(greatest(date '1899-12-31', cast(
    case
        when said is null then null
        when contains(said, ':') and regexp_matches(said, '^\d{4}-\d\d-\d\d[T ].*(Z|[+-]\d\d:?\d\d)$')
            then try_cast(said as timestamptz) at time zone timezone
        when said[5] = '-' then try_strptime(regexp_extract(said, '^(\d{4}-\d\d?-\d\d?)([T ]|$)', 1), '%Y-%m-%d')
        else coalesce(
            case date_order
                when 'dmy' then try_strptime(
                    without_time(said), ['%d.%m.%y', '%d.%m.%Y', '%d/%m/%y', '%d/%m/%Y', '%d-%m-%y', '%d-%m-%Y']
                )
                when 'mdy' then try_strptime(
                    without_time(said), ['%m/%d/%y', '%m/%d/%Y', '%m-%d-%y', '%m-%d-%Y', '%m.%d.%y', '%m.%d.%Y']
                )
                else try_strptime(without_time(said), ['%Y/%m/%d', '%Y.%m.%d', '%Y%m%d'])
            end,
            case when regexp_matches(said, '\pL') then try_strptime(
                english_months(without_time(said)),
                ['%d %b %y', '%d %b %Y', '%d-%b-%y', '%d-%b-%Y', '%b %d %y', '%b %d, %Y']
            ) end
        )
    end as date
)), date '1899-12-31');

-- A day that Excel gave as its number of days since the end of 1899; any other text stays as it is.
create or replace macro serial_day(said) as case
    when regexp_full_match(said, '[1-6][0-9]{4}([.,][0-9]+)?')
        then strftime(date '1899-12-30' + cast(left(said, 5) as integer), '%Y-%m-%d')
    else said
end;

-- The clinic's own day of a stamp that was written in another time zone; any other text stays as it is.
create or replace macro day_of_stamp(said, date_order, stamp_timezone, timezone) as coalesce(
    case when contains(said, ':') and not regexp_matches(said, '(Z|[+-]\d\d:?\d\d)$') then strftime(timezone(
        timezone, timezone(stamp_timezone, coalesce(
            try_cast(said as timestamp),
            case date_order
                when 'dmy' then try_strptime(said, [
                    '%d/%m/%Y %H:%M', '%d/%m/%Y %H:%M:%S', '%d/%m/%Y %I:%M %p', '%d.%m.%Y %H:%M', '%d.%m.%Y %H:%M:%S',
                    '%d-%m-%Y %H:%M', '%d-%m-%Y %H:%M:%S'
                ])
                when 'mdy' then try_strptime(said, [
                    '%m/%d/%Y %H:%M', '%m/%d/%Y %H:%M:%S', '%m/%d/%Y %I:%M %p', '%m/%d/%Y %I:%M:%S %p',
                    '%m-%d-%Y %H:%M'
                ])
                else try_strptime(said, ['%Y/%m/%d %H:%M', '%Y/%m/%d %H:%M:%S'])
            end
        ))
    ), '%Y-%m-%d') end, said
);

-- The year of a day, or a year that stands by itself or in a file's name.
create or replace macro stated_year(said, date_order, timezone) as coalesce(
    year(as_day(said, date_order, timezone)),
    try_cast(nullif(regexp_extract(said, '(?:^|[^0-9])((?:19|20)[0-9]{2})(?:[^0-9]|$)', 1), '') as integer)
);
