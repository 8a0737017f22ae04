"""The numbers of the causal model: daily chances, by problem, body site and severity. All invented.

Rows of a table are problems, columns are places in the body (see SITES) or levels of severity (mild … critical).
"""

import numpy as np

SWALLOWED_REPTILE, SWALLOWED_WARM, MOUTH, EXTERNAL, ENTANGLED, LEAD, OTHER = range(7)
ENDOSCOPY, SURGERY, REMOVAL, LINE_CUT, DISENTANGLE, CHELATION = range(6)
KIND_OF_PROBLEM = np.array([SURGERY, SURGERY, REMOVAL, REMOVAL, DISENTANGLE, CHELATION, SURGERY])
IN_CARE, RELEASED, DIED, EUTHANASED, KEPT, MOVED_OUT, LOST, RELEASED_ELSEWHERE = range(8)

# Column 0, 1, 2 of a problem: where the gear sits, or (lead) how high the first blood lead level is.
SITES = {
    SWALLOWED_REPTILE: ("oesophagus", "stomach", "intestine"),
    SWALLOWED_WARM: ("oesophagus", "stomach", "intestine"),
    MOUTH: ("mouth", "throat_glottis", "throat_glottis"),
    EXTERNAL: ("outside", "outside", "outside"),
    ENTANGLED: ("outside", "outside", "outside"),
    LEAD: ("lead_low", "lead_high", "lead_high"),
    OTHER: ("none", "none", "none"),
}
SITE_SHARES = np.array(
    [[42, 33, 25], [40, 38, 22], [70, 30, 0], [1, 0, 0], [1, 0, 0], [50, 50, 0], [1, 0, 0]]
)
SEVERITY_SHARES = np.array(
    [
        [30, 37, 23, 10],
        [26, 36, 26, 12],
        [42, 36, 16, 6],
        [45, 35, 15, 5],
        [22, 36, 28, 14],
        [12, 34, 36, 18],
        [20, 30, 28, 22],
    ]
)

# The gear's own course while it stays in place.
PASSES = (
    np.array([[8, 22, 70], [14, 50, 130], [40, 12, 12], [5, 5, 5], [0, 0, 0], [15, 10, 10], [0, 0, 0]]) / 1000
)
UNMOVED = np.array([0.85, 0.60, 0.40])
WORSENS = (
    np.array([[40, 9, 6], [70, 16, 12], [40, 12, 12], [40, 40, 40], [80, 80, 80], [6, 40, 40], [0, 0, 0]])
    / 1000
)
FILM_EVERY = np.array([7, 3, 0, 0, 0, 7, 0])

# Dying. The first injury's own risk fades over two weeks or so; gear in place adds to it; worse adds most.
DIES_OF_INJURY = np.array([0.001, 0.004, 0.012, 0.038])
DIES_WITH_GEAR = (
    np.array([[3, 1, 1], [5, 2, 2], [2, 1, 1], [2, 2, 2], [3, 3, 3], [2, 26, 26], [0, 0, 0]]) / 1000
)
DIES_IF_WORSE = np.array([0.012, 0.028, 0.012, 0.020, 0.035, 0.030, 0.020])
# Rows: the six kinds of intervention, in the order above.
DIES_OPERATED = np.array(  # on the day itself, by severity
    [
        [0.004, 0.008, 0.020, 0.060],
        [0.020, 0.040, 0.090, 0.220],
        [0.001, 0.003, 0.010, 0.030],
        [0.000, 0.001, 0.004, 0.010],
        [0.001, 0.006, 0.030, 0.750],
        [0.000, 0.000, 0.002, 0.006],
    ]
)
SITE_RISK = np.array(
    [[1, 1, 1], [1.3, 1.6, 4.0], [1, 40, 40], [1, 1, 1], [1, 1, 1], [1, 1, 1]]
)  # multiplies the above
STABILISED = 0.08  # disentangling from day 2 on: what is left of its risk in severe and critical animals
CHELATED = np.array([0.90, 0.30, 0.30])  # what chelation leaves of DIES_WITH_GEAR and of WORSENS
SHORTENED = np.array([0.90, 0.25, 0.25])  # what cutting the line, hook left, leaves of them
SUCCEEDS = np.array(
    [[0.84, 0.58, 0.15], [0.97, 0.97, 0.95], [0.97, 0.75, 0.75], [1, 1, 1], [0.98, 0.98, 0.98], [1, 1, 1]]
)
COMPLICATED = np.array([0.05, 0.14, 0.05, 0.0, 0.04, 0.02])
EUTHANASED_AT_TRIAGE = np.array([0.000, 0.010, 0.060, 0.300])
EUTHANASED_IF_WORSE = np.array([0.010, 0.020, 0.040, 0.060])

RECOVERS = 0.15  # chance on a day that an animal stops being worse, once the gear is out

# Going home.
GOES_HOME = np.array([0.24, 0.18, 0.12, 0.08])
STAYS_AT_LEAST = np.array([7, 43, 3, 8, 4, 14])  # days after the intervention; reptiles
STAYS_SPREAD = np.array([4, 12, 2, 6, 3, 12])
WARM_SURGERY_STAYS = (13, 9)
SENT_HOME_TOO_SOON = 0.10  # a turtle released well before six weeks after surgery: a question to the clinic
NON_RELEASABLE = 0.012
OTHER_STAYS = np.array([2, 6, 13, 22])

RELEASED_WITH_GEAR = (
    np.array([[20, 20, 20], [20, 20, 20], [0, 0, 0], [0, 0, 0], [0, 0, 0], [110, 40, 40], [0, 0, 0]]) / 1000
)
READY_WITH_GEAR = np.array([40, 24, 9999, 9999, 9999, 14, 0])

# The clinics' habits: log odds of the first intervention on a day. Severity, site and findings move it.
HABIT = np.array([-3.1, -2.6, -2.8, -3.3, -3.5])  # by clinic, in the order of coast.CLINICS
HABIT_BY_SITE = np.array(
    [
        [0.3, 0.1, -0.2],
        [0.7, 0.5, 0.2],
        [1.9, 1.4, 1.4],
        [3.2, 3.2, 3.2],
        [2.3, 2.3, 2.3],
        [0.0, 0.2, 0.2],
        [0.0, 0.0, 0.0],
    ]
)
HABIT_BY_SEVERITY = np.array([0.30, 0.30, 0.25, 0.20, -0.25, 0.30, 0.0])
HABIT_IF_WORSE, HABIT_IF_UNMOVED, HABIT_ON_FIRST_DAY, HABIT_IF_LINE_CUT = 1.0, 0.7, -0.4, -3.0
HABIT_LATER = np.array([-0.9, -0.9, -0.3, -0.3, 0.0, -0.9, 0.0])  # once the first decisions are made
FIRST_DECISIONS = np.array([8, 4, 3, 3, 3, 4, 0])  # days
CUTS_LINE = np.array([-0.8, 0.1, 0.1])  # log odds on a day, of a hook in the mouth with trailing line
PREFERS_ENDOSCOPY = np.array([1.3, 0.4, -2.5])  # log odds
CLINIC_GENTLE = np.array([0.3, 0.4, 0.1, -0.5, -0.4])
TRIES_AGAIN = 0.45
MOVES_ON = np.array([0.008, 0.006, 0.007, 0.018, 0.028])  # transfer on a day of the first ten, by clinic
MOVES_TO = np.array([[0, 6, 3, 1, 0], [1, 0, 4, 1, 1], [1, 5, 0, 1, 1], [0, 5, 4, 0, 1], [0, 4, 5, 2, 0]])
LEAVES_NETWORK = 0.12
GETS_LOST = 0.0004
