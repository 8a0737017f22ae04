-- What several SELECTs share: how words, numbers, days and masses are read, and how an id is made anonymous.

-- How two spellings of one word are compared: case, accents and blanks do not count.
create or replace macro folded(word) as
    trim(regexp_replace(lower(strip_accents(word)), '[\s\p{Z}]+', ' ', 'g'));

-- How two spellings of one number are compared: 'AB-12 / 7' and 'ab127' are the same band.
create or replace macro letters_and_digits(word) as
    nullif(regexp_replace(upper(strip_accents(word)), '[^A-Z0-9]', '', 'g'), '');

-- The same without leading zeros: 'TS 12' and 'TS000012' are one number, as clinics copy each other's.
create or replace macro without_zeros(word) as
    letters_and_digits(regexp_replace(strip_accents(word), '(^|[^0-9])0+([0-9])', '\1\2', 'g'));

-- A band is known by its digits: 'none' and 'unbanded' in the column of bands join no animals.
create or replace macro band_number(word) as
    case when regexp_matches(word, '[0-9]') then letters_and_digits(word) end;

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

-- A day written without its year ('3/4', '28 Dec'), in a given year; null if it has a year or is no such day.
create or replace macro day_in_year(said, date_order, year) as cast(
    case when regexp_full_match(said, '\d{1,2}([-/. ]+\d{1,2}|[-. ]*\pL{3,9})\.?|\pL{3,9}[. ]+\d{1,2}')
        then try_strptime(
            regexp_replace(trim(english_months(said), ' .'), '[-/. ]+', ' ', 'g') || ' ' || year,
            if(date_order = 'dmy', ['%d %m %Y', '%d %b %Y', '%b %d %Y'], ['%m %d %Y', '%d %b %Y', '%b %d %Y'])
        )
    end as date
);

-- Whether a text is a day without its year, in either order; '29/2' is one, for some years have it.
create or replace macro lacks_year(said) as
    coalesce(day_in_year(said, 'dmy', 2000), day_in_year(said, 'mdy', 2000)) is not null;

-- A day that was put into the year beside its reference's; null if that makes it more than nine months from it, when
-- a slip ("in 20 June, out 2 June") is likelier than a stay over the new year. Nine months are our own choice.
create or replace macro over_new_year(said, date_order, year, reference) as case
    when abs(date_diff('day', reference, day_in_year(said, date_order, year))) <= 270
        then day_in_year(said, date_order, year)
end;

-- A day without a year completed from another day or year: the first such day on or after that day, or, of what
-- comes earlier, the last on or before it. Any other text stays as it is, and so does a day that would have to be put
-- over the new year and far from its reference: no guessing, checks/day_without_year.sql asks.
-- Lists of one, because a macro repeats its argument wherever it names it: this binds it once.
create or replace macro with_year(said, date_order, reference, is_earlier) as list_transform(
    list_transform([reference], lambda given: struct_pack(
        first_day := as_day(given, date_order, 'UTC'), first_year := stated_year(given, date_order, 'UTC'),
        day_text := said
    )),
    lambda given: coalesce(strftime(case
        when is_earlier and day_in_year(given.day_text, date_order, given.first_year) > given.first_day
            then over_new_year(given.day_text, date_order, given.first_year - 1, given.first_day)
        when not is_earlier and day_in_year(given.day_text, date_order, given.first_year) < given.first_day
            then over_new_year(given.day_text, date_order, given.first_year + 1, given.first_day)
        else day_in_year(given.day_text, date_order, given.first_year)
    end, '%Y-%m-%d'), given.day_text)
)[1];

-- A number out of text, in the clinic's own decimal sign; units and words round it do no harm.
-- '2,5 kg' in a clinic that writes decimal commas is 2.5, '1.250,5' there is 1250.5. No guessing: two numbers in
-- one cell ("250-300", 27° 28') or a sign that can part neither thousands nor decimals give none.
create or replace macro only_number(said, decimal_sign) as case
    when len(regexp_extract_all(said, '-?([0-9]|[.,][0-9])[0-9.,]*')) = 1 then translate(
        rtrim(regexp_extract(said, '-?([0-9]|[.,][0-9])[0-9.,]*'), '.,'), if(decimal_sign = ',', '.,', ''), ',.'
    )
end;
create or replace macro as_number(said, decimal_sign) as case
    when regexp_full_match(only_number(said, decimal_sign), '-?([0-9]+|[0-9]{1,3}(,[0-9]{3})+)?([.][0-9]+)?')
        then try_cast(replace(only_number(said, decimal_sign), ',', '') as double)
end;

-- A number of things: whole, and small enough to be no day or phone number.
create or replace macro as_count(said, decimal_sign) as case
    when as_number(said, decimal_sign) between 0 and 999 and as_number(said, decimal_sign) % 1 = 0
        then cast(as_number(said, decimal_sign) as integer)
end;

-- A mass in grams. The unit in the cell wins over the unit of the column; no unit at all is grams.
create or replace macro as_grams(said, decimal_sign, column_unit) as
    as_number(regexp_replace(said, '(lbs?)\.?[ ,]+[0-9.]+ *oz', '\1'), decimal_sign)
    * case lower(coalesce(
        nullif(regexp_extract(said, '[0-9]\s*(kg|g|gr|lb|lbs|oz)\b', 1, 'i'), ''), column_unit, 'g'
    ))
        when 'kg' then 1000
        when 'lb' then 453.59237
        when 'lbs' then 453.59237
        when 'oz' then 28.349523125
        else 1
    end
    + coalesce(28.349523125 * as_number(nullif(regexp_extract(said, 'lbs?\.?[ ,]+([0-9.]+ *oz)', 1), ''), '.'), 0);

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
