"""An emulated target trial from clinic records: which intervention works?

Hernán & Robins (2016), Am J Epidemiol 183:758; Cain et al. (2010), Int J Biostat 6(2):18; Maringe et al. (2020),
Int J Epidemiol 49:1719. Every eligible case is cloned into each strategy, followed while compatible with it, and
weighted day by day so that the clones left stand for everybody.

Two frames go in. Days are whole, counted from the first admission of the linked case (day 0).

``cases``: one row per eligible case (alive on arrival, still carrying its gear, known from day 0)

    case          text, unique
    clinic        text, where the case was first admitted
    taxon_group   text
    has_line      bool, optional: line trails on arrival; absent: nobody's line is studied
    ...           any baseline covariates: text, bool or number, known on day 0. An empty text becomes the level
                  "not stated"; an empty number is refused.

``events``: one row per dated event

    case          text, as in cases (rows of other cases are ignored)
    day           integer, 0 or more
    event         text, one of
      retrieval_endoscopy, retrieval_surgery, retrieval_manual   an attempt to take the gear out, successful or not.
                    The first counts. Two on one day: endoscopy before surgery before manual.
      line_cut      the trailing line is cut, the hook stays
      gear_passed   all gear seen to have gone by itself; ignored if an attempt follows (gear was evidently left)
      worse, improved       the animal's condition; the latest counts; both on one day: worse
      unmoved, moved        the gear on a film compared with the one before; latest counts; both on one day: moved
      released, died, euthanased, other      known endings, which compete ("other": permanent care, escaped ...)
      transferred, lost     sight of the case was lost on that day (not linked to another clinic's stay)
      in_care               last day known in care: administrative censoring

A case with a retrieval of unknown day can't be laid out: leave it out, and count it.

Each case needs exactly one row of the last three lines. Events after the ending are ignored. Within a day the order
is: findings, line cut, retrieval, ending, loss. So a film on day 14 can lead to a retrieval on day 14 that ends in
death on day 14; and a case whose gear is seen to have passed on a day has no decision left that day.

``PersonDays.frame()`` gives the same as one row per case and day in care (day 0 to ending or horizon):

    case, day, clinic and the baseline columns
    worse, gear_gone      bool, worse_days is 0 or more; not carrying
    carrying      bool, gear still there and not yet attempted: a decision about retrieval is open this day
    with_line     bool, a decision about cutting the line is open this day
    worse_days    int, days since the present spell of "worse" was first noted, -1 if not worse
    unmoved_days  int, days since the present spell of "unmoved" was first seen, -1 if none
    position      text, latest film: "no film yet", "unmoved", "moved"
    film_today    bool
    line_cut      bool, the line has been cut (this day included)
    retrieved     text, means of the retrieval of this day, "" if none
    cut_today     bool
    ending        text, ending of this day, "" if none
    lost_today    bool
"""
