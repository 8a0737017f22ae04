-- How days that lack their year are completed, or left alone.

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
