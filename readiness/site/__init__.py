"""The job laid out: places, calendars, tasks, links and requirements."""
