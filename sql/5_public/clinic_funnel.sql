-- Clinics beside what their case mix lets expect; empty in a network of too few clinics, where volume alone names a clinic.
-- key:  clinic_letter
-- from: result.clinic_funnel, clinic.letters
--
-- columns:
--   clinic_letter: letter of the clinic
--   resolved: animals released, died or euthanased (admitted alive)
--   observed: of these, released
--   expected: releases expected if each kind of case went as in the whole network
--   ratio: observed over expected
--   low_95: lower 95 % control limit around 1
--   high_95: upper 95 % control limit around 1
--   low_998: lower 99.8 % control limit around 1
--   high_998: upper 99.8 % control limit around 1
--   position: within the limits, or beyond the 95 % or the 99.8 % limits
select
    letters.letter as clinic_letter,
    funnel.resolved,
    funnel.observed,
    round(funnel.expected, 2) as expected,
    round(funnel.ratio, 4) as ratio,
    round(funnel.low_95, 4) as low_95,
    round(funnel.high_95, 4) as high_95,
    round(funnel.low_998, 4) as low_998,
    round(funnel.high_998, 4) as high_998,
    case
        when ratio not between low_998 and high_998 then 'beyond the 99.8 % limits'
        when ratio not between low_95 and high_95 then 'beyond the 95 % limits'
        else 'within the limits'
    end as position
from result.clinic_funnel as funnel
inner join clinic.letters as letters on funnel.clinic = letters.clinic
where letters.is_public and funnel.reason = ''
order by letters.letter
