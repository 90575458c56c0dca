"""What people write: the job file, its quantities, places, bookings, and what is wrong with it."""
