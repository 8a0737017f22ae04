-- One row per clinic, field, word and axis: what the word means in the shared codes.
-- key:  clinic, field, word, axis
-- from: stage.words, clinic.terms, codes.words, codes.fields, codes.also_says
--
-- The clinic's own row wins over the shared list; a word may fill several axes ("swallowed hook" is a cause, a
-- kind of gear and a way of injuring). A word that nobody has decided becomes 'unmapped': no guessing. Only the
-- name of a place outside the network needs no code. codes/also_says.csv names the axes that a field's words may
-- fill from the shared list of another.
with spoken as (
    select words.*, folded(words.word) as folded_word, vocabularies.vocabulary
    from stage.words as words
    inner join (select distinct field, vocabulary from codes.fields where kind = 'term') as vocabularies
        on words.field = vocabularies.field
),

own as (
    select distinct spoken.clinic, spoken.field, spoken.word, terms.axis, terms.code
    from spoken
    inner join clinic.terms as terms
        on spoken.clinic = terms.clinic and spoken.field = terms.field and spoken.folded_word = folded(terms.term)
),

shared as (
    select spoken.clinic, spoken.field, spoken.word, spoken.field as axis, words.code
    from spoken
    inner join codes.words as words
        on spoken.vocabulary = words.vocabulary and spoken.folded_word = words.word
    anti join own
        on spoken.clinic = own.clinic and spoken.field = own.field and spoken.word = own.word
        and spoken.field = own.axis
),

elsewhere as (
    select spoken.clinic, spoken.field, spoken.word, also_says.axis, words.code
    from spoken
    inner join codes.also_says as also_says on spoken.field = also_says.field
    inner join codes.words as words
        on also_says.axis = words.vocabulary and spoken.folded_word = words.word
    anti join own
        on spoken.clinic = own.clinic and spoken.field = own.field and spoken.word = own.word
    anti join shared
        on spoken.clinic = shared.clinic and spoken.field = shared.field and spoken.word = shared.word
),

undecided as (
    select spoken.clinic, spoken.field, spoken.word, spoken.field as axis, 'unmapped' as code
    from spoken
    anti join own
        on spoken.clinic = own.clinic and spoken.field = own.field and spoken.word = own.word
    anti join shared
        on spoken.clinic = shared.clinic and spoken.field = shared.field and spoken.word = shared.word
    anti join elsewhere
        on spoken.clinic = elsewhere.clinic and spoken.field = elsewhere.field and spoken.word = elsewhere.word
    where spoken.vocabulary <> 'clinic'
)

select decided.clinic, decided.field, decided.word, decided.axis, decided.code, words.times
from (
    select * from own
    union all select * from shared
    union all select * from elsewhere
    union all select * from undecided
) as decided
inner join stage.words as words
    on decided.clinic = words.clinic and decided.field = words.field and decided.word = words.word
