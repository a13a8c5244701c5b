"""The day's jobs that run by themselves: what is due when, what was done, and the timers of APScheduler."""
