-- What several SELECTs share: how words, numbers, days and masses are read, and how an id is made anonymous.

-- How two spellings of one word are compared: case, accents and blanks do not count.
create or replace macro folded(word) as
    trim(regexp_replace(lower(strip_accents(word)), '[\s\p{Z}]+', ' ', 'g'));

-- How two spellings of one number are compared: 'AB-12 / 7' and 'ab127' are the same band.
create or replace macro letters_and_digits(word) as
    nullif(regexp_replace(upper(strip_accents(word)), '[^A-Z0-9]', '', 'g'), '');

-- A band is known by its digits: 'none' and 'unbanded' in the column of bands join no animals.
create or replace macro band_number(word) as
    case when regexp_matches(word, '[0-9]') then letters_and_digits(word) end;

-- A date's text without its time of day.
create or replace macro without_time(said) as
    case when contains(said, ':') then regexp_replace(said, '[T ]+\d{1,2}:\d\d.*$', '') else said end;

-- A calendar day out of text. A stamp with an offset is the day in the clinic's own time zone.
-- Formats with a two-digit year come first, because %Y would read '3.4.21' as the year 21.
create or replace macro as_day(said, date_order, timezone) as cast(
    case
        when said is null then null
        when contains(said, ':') and regexp_matches(said, '^\d{4}-\d\d-\d\d[T ].*(Z|[+-]\d\d:?\d\d)$')
            then try_cast(said as timestamptz) at time zone timezone
        when said[5] = '-' then try_strptime(regexp_extract(said, '^(\d{4}-\d\d?-\d\d?)([T ]|$)', 1), '%Y-%m-%d')
        when date_order = 'dmy' then try_strptime(
            without_time(said), [
                '%d.%m.%y', '%d.%m.%Y', '%d/%m/%y', '%d/%m/%Y', '%d-%m-%y', '%d-%m-%Y',
                '%d %b %y', '%d %b %Y', '%d %B %Y', '%d-%b-%y', '%d-%b-%Y', '%b %d, %Y'
            ]
        )
        when date_order = 'mdy' then try_strptime(
            without_time(said), [
                '%m/%d/%y', '%m/%d/%Y', '%m-%d-%y', '%m-%d-%Y', '%m.%d.%y', '%m.%d.%Y',
                '%b %d %y', '%b %d, %Y', '%B %d, %Y', '%d-%b-%y', '%d-%b-%Y', '%d %b %Y'
            ]
        )
        else try_strptime(without_time(said), ['%Y/%m/%d', '%Y.%m.%d', '%Y%m%d', '%d %b %Y', '%d-%b-%Y'])
    end as date
);

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
    * case lower(coalesce(nullif(regexp_extract(said, '[0-9]\s*(kg|g|gr|lb|lbs|oz)\b', 1, 'i'), ''), column_unit, 'g'))
        when 'kg' then 1000
        when 'lb' then 453.59237
        when 'lbs' then 453.59237
        when 'oz' then 28.349523125
        else 1
    end
    + coalesce(28.349523125 * as_number(nullif(regexp_extract(said, 'lbs?\.?[ ,]+([0-9.]+ *oz)', 1), ''), '.'), 0);

-- A published id out of a private one: a keyed hash (HMAC's nesting), so that nobody without the network's secret
-- can try case numbers until one fits. 64 bits: two of a million cases collide with a chance of 1 in 37 million.
create or replace macro pseudonym(private_id, secret) as
    left(sha256(secret || sha256(secret || private_id)), 16);
