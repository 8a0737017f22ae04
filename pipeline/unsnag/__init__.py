"""unsnag pools case records of wildlife clinics and asks which interventions work for animals injured by tackle."""

__version__ = "0.1.0"
