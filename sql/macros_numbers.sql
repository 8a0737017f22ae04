-- How numbers, counts and masses are read.

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
