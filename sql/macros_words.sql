-- How words, names and numbers of bands are compared.

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
