"""E-value: how strong would unmeasured confounding have to be to explain a result away?"""

import numpy as np


def e_value(ratio, low, high):
    """E-value of a risk ratio and of the limit nearer to 1.

    ratio, low, high : floats, risk ratio above 0 and its confidence limits; low may be 0, high infinite
    Returns            (value, limit): floats >= 1; limit is 1 if the interval holds 1
    Raises             ValueError: a ratio that is not positive, or limits out of order
    Source             VanderWeele & Ding (2017), Ann Intern Med 167:268
    """
    if not (0 <= low <= ratio <= high and 0 < ratio < np.inf):
        raise ValueError(
            f"risk ratio {ratio} with limits {low} to {high}: give 0 <= low <= ratio <= high, ratio above 0"
        )
    above, nearer = (ratio, low) if ratio >= 1 else (1 / ratio, 1 / high)
    return _from_ratio(above), _from_ratio(max(nearer, 1.0))


def _from_ratio(ratio):
    return float(ratio + np.sqrt(ratio * (ratio - 1)))
