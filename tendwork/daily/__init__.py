"""What runs by itself: when each daily job is due, the jobs, what they deliver, and what was done."""
