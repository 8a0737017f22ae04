"""The feedback room: feedback.* → private/<clinic>/: what each clinic is asked, and how its records stand."""

from unsnag.feedback.writing import write_all

__all__ = ["write_all"]
