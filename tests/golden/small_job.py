"""One small job whose calendars are kept as bytes."""

from __future__ import annotations

SMALL_JOB = """\
name  = "Alder Street 14"
key   = "c1b7d0a29e"
site  = { time_zone = "America/New_York", holidays = false, address = "14 Alder Street", \
contact = "Doyle Homes", phone = "555-0140" }
as_of = 2026-05-04T06:30:00

[rooms]
bath-1 = { is = "bath" }

[surfaces]
bath-1.outer = { is = "wall above grade", area = "64 sq ft net", cavity = "5.5 in" }

[trades]
electrician = { name = "Bao Electric", phone = "555-0142", off = ["FREQ=WEEKLY;BYDAY=FR"] }
plumber = { name = "Reed Plumbing", phone = "555-0144" }
spray = { name = "Pell Foam", phone = "555-0146" }

[work.cable]
title = "Pull cable"
trade = "electrician"
in = ["bath-1"]
order = "before"
takes = "2 d"
agreed = 2026-05-06

[work.tub]
title = "Set tub"
trade = "plumber"
in = ["bath-1"]
order = "after"
takes = "3 h"

[trips.first]
agreed = 2026-05-11T07:00:00
lasts = "1 d"
keep_out = "24 h"
sheet = "sheet of the foam, 2026"
"""
"""Two days of cable, a tub that nobody has dated, one agreed trip."""
