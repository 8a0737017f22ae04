"""The numbers of the causal model: daily chances, by problem, body site and severity. All invented.

Rows of a table are problems, columns are places in the body (see SITES) or levels of severity (mild … critical).
"""

import numpy as np

SWALLOWED_REPTILE, SWALLOWED_WARM, MOUTH, EXTERNAL, ENTANGLED, LEAD, OTHER = range(7)
ENDOSCOPY, SURGERY, REMOVAL, LINE_CUT, DISENTANGLE, CHELATION = range(6)
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
SITE_SHARES = np.array([[42, 33, 25], [40, 38, 22], [70, 30, 0], [1, 0, 0], [1, 0, 0], [50, 50, 0], [1, 0, 0]])
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
PASSES = np.array([[8, 22, 70], [14, 50, 130], [40, 12, 12], [5, 5, 5], [0, 0, 0], [15, 10, 10], [0, 0, 0]]) / 1000
UNMOVED = np.array([0.85, 0.60, 0.40])
WORSENS = np.array([[40, 18, 9], [70, 30, 16], [30, 9, 9], [40, 40, 40], [110, 110, 110], [15, 45, 45], [0, 0, 0]]) / 1000
FILM_EVERY = np.array([7, 3, 0, 0, 0, 7, 0])

# Dying. The first injury's own risk fades over two weeks or so; gear in place adds to it; worse adds most.
DIES_OF_INJURY = np.array([0.002, 0.006, 0.016, 0.050])
DIES_WITH_GEAR = np.array([[3, 2, 1], [5, 3, 2], [2, 1, 1], [2, 2, 2], [6, 6, 6], [4, 30, 30], [0, 0, 0]]) / 1000
DIES_IF_WORSE = np.array([0.020, 0.045, 0.020, 0.03, 0.05, 0.05, 0.02])
DIES_OPERATED = {  # on the day itself, by severity
    ENDOSCOPY: np.array([0.004, 0.008, 0.020, 0.060]),
    SURGERY: np.array([0.020, 0.040, 0.090, 0.220]),
    REMOVAL: np.array([0.001, 0.003, 0.010, 0.030]),
    LINE_CUT: np.array([0.000, 0.001, 0.004, 0.010]),
    DISENTANGLE: np.array([0.001, 0.006, 0.030, 0.420]),
    CHELATION: np.array([0.000, 0.000, 0.002, 0.006]),
}
SITE_RISK = {  # multiplies the above
    SURGERY: np.array([0.8, 1.3, 2.4]),
    REMOVAL: np.array([1.0, 9.0, 9.0]),
}
STABILISED = 0.12  # disentangling from day 2 on: what is left of its risk in severe and critical animals
CHELATED = np.array([0.90, 0.30, 0.30])  # what chelation leaves of DIES_WITH_GEAR and of worsening
SUCCEEDS = {
    ENDOSCOPY: np.array([0.84, 0.58, 0.15]),
    SURGERY: np.array([0.97, 0.97, 0.95]),
    REMOVAL: np.array([0.97, 0.80, 0.80]),
    LINE_CUT: np.array([1.0, 1.0, 1.0]),
    DISENTANGLE: np.array([0.98, 0.98, 0.98]),
    CHELATION: np.array([1.0, 1.0, 1.0]),
}
COMPLICATED = {ENDOSCOPY: 0.05, SURGERY: 0.14, REMOVAL: 0.05, LINE_CUT: 0.0, DISENTANGLE: 0.04, CHELATION: 0.02}
EUTHANASED_AT_TRIAGE = np.array([0.000, 0.010, 0.045, 0.240])
EUTHANASED_IF_WORSE = np.array([0.004, 0.008, 0.020, 0.035])

# Going home.
GOES_HOME = np.array([0.24, 0.18, 0.12, 0.08])
STAYS_AFTER = {ENDOSCOPY: (7, 4), SURGERY: (43, 12), REMOVAL: (3, 2), LINE_CUT: (8, 6), DISENTANGLE: (4, 3), CHELATION: (14, 12)}
OTHER_STAYS = np.array([2, 6, 13, 22])

# The clinics' habits: log odds of the first intervention on a day. Severity, site and findings move it.
HABIT = np.array([-2.6, -2.1, -2.3, -2.9, -3.2])  # by clinic, in the order of coast.CLINICS
HABIT_BY_SITE = np.array([[0.7, 0.2, -0.9], [0.8, 0.3, -0.5], [2.2, 1.5, 1.5], [2.6, 2.6, 2.6], [2.6, 2.6, 2.6], [1.2, 1.9, 1.9], [0, 0, 0]])
HABIT_BY_SEVERITY = np.array([0.40, 0.40, 0.30, 0.20, -0.75, 0.50, 0.0])
HABIT_IF_WORSE, HABIT_IF_UNMOVED, HABIT_ON_FIRST_DAY = 2.2, 1.5, -0.7
# Which one: log odds of the gentler kind (endoscopy; line cut and hook left).
PREFERS_ENDOSCOPY = np.array([1.3, 0.4, -2.5])
PREFERS_LINE_CUT = np.array([-1.6, 0.2, 0.2])
CLINIC_GENTLE = np.array([0.3, 0.4, 0.1, -0.5, -0.4])
TRIES_AGAIN = 0.45
MOVES_ON = np.array([0.004, 0.001, 0.002, 0.018, 0.028])  # transfer on a day of the first ten, by clinic
MOVES_TO = np.array([[0, 6, 3, 1, 0], [1, 0, 4, 1, 1], [1, 5, 0, 1, 1], [0, 5, 4, 0, 1], [0, 4, 5, 2, 0]])
LEAVES_NETWORK = 0.12
GETS_LOST = 0.0004
