"""The demo studio's settings, registers and public pages. Every name, address, number and maker is invented."""

from tests.demo import german

ARCHIVE = """[archive]
title    = "Ostermarr working archive"
language = "en"
units    = "mm"

[portfolio]
title         = "Tove Ostermarr, tattoos"
artist        = "Tove Ostermarr"
url           = "https://ostermarr.example.org"
description   = "Black-and-grey drawings for skin: plants, birds, boats and the moon. One artist, one chair."
creator       = "Tove Ostermarr"
copyright     = "© Tove Ostermarr. Shown with the wearers' consent."
credit        = "Tove Ostermarr"
rights_url    = "https://ostermarr.example.org/rights"
licensor_url  = "https://ostermarr.example.org/booking"
town          = "Vessholm"
open_from     = "February 2027"
currency      = "EUR"
languages     = ["en", "de"]
model_training  = false
require_rights  = true
require_release = true

[portfolio.de]
title       = "Tove Ostermarr, Tattoos"
description = "Zeichnungen für die Haut: Pflanzen, Vögel, Boote und der Mond. Eine Künstlerin, ein Stuhl."

[printer]
paper      = "A4"
method     = "ink-jet"
measured_x = "99.4 mm"
measured_y = "100.2 mm"
margin     = "5 mm"
dpi        = 600

[printer.thermal]
paper  = "210 x 297 mm"
method = "thermal"
margin = "6 mm"
dpi    = 203

[limits]
stroke         = "0.2 mm"
gap            = "0.5 mm"
healed_after   = "28 days"
touch_up_from  = "42 days"
touch_up_until = "180 days"
"""

ABOUT = """# About

I draw with needles, mostly in black and grey: plants, birds, boats, the moon. One room above a net loft, one chair, one
person a day.

I learned to draw in a herbarium, mounting ferns for a professor who could not see well any more and wanted them
described. I still begin every piece by describing it out loud.

What you see here is healed wherever I have been able to take the photograph. Fresh tattoos are flattering. Healed ones
are true.
"""

CARE = """# The first four weeks

This is how I ask people to look after a new piece. It does not replace what your doctor tells you.

1. Leave the film on for as long as I wrote on your card.
2. Wash with lukewarm water and clean hands, pat dry with fresh paper. Twice a day is enough.
3. A little cream, so thin that the skin still looks dry.
4. It will flake. Let it.
5. No sun, no sea, no pool, no sauna until it no longer shines.

Redness that spreads, heat, fever, pus, or a rash that comes back: see a doctor first and write to me second.

After four to six weeks I would like to see it. If a line did not hold, the touch-up within six months costs nothing.
"""

BOOKING = """# Booking

The book is open for **February and March**. Write to <studio@example.org> with:

- what you would like, in your own words
- where on the body, left or right, and how large in centimetres
- a photo of the place, and of anything nearby that must stay clear
- pictures you like, and where they come from: I have to ask whoever made them

Scars, stretch marks and old tattoos to be covered: send a photo in daylight and say how old they are. A scar has to be
pale and at rest; if you are in doubt, ask a doctor first.

I answer within a week. Small pieces take an afternoon, larger ones two. I do not work on anybody under eighteen.

- small, up to 5 cm: from 140 EUR
- one sitting: 320 EUR
- two sittings: 580 EUR
"""

CLIENTS = """[[client]]
code    = "C-0003"
name    = "Ida Vesterholt"
contact = "ida@example.org"
notes   = "three pieces; plaster allergy, use the paper tape"

[[client]]
code    = "C-0005"
name    = "Corentin Abgral"
contact = "corentin@example.org"
notes   = "no photos online, ever"

[[client]]
code    = "C-0007"
name    = "Nomsa Kerubo-Lind"
contact = "nomsa@example.org"

[[client]]
code    = "C-0008"
name    = "Halvar Stennes"
contact = "halvar@example.org"
notes   = "away for work most of the year"

[[client]]
code    = "C-0009"
name    = "Piet Larsmo"
contact = "piet@example.org"

[[client]]
code    = "C-0010"
name    = "Zoja Wrenfeld"
contact = "zoja@example.org"
notes   = "faints: lie down, something sweet first"

[[client]]
code    = "C-0012"
name    = "Mayumi Ostbrink"
contact = "mayumi@example.org"

[[client]]
code    = "C-0014"
name    = "Lene Larsmo"
contact = "lene@example.org"
notes   = "release withdrawn 20 November 2025"

[[client]]
code    = "C-0016"
name    = "Idris Calloran"
contact = "idris@example.org"

[[client]]
code    = "C-0018"
name    = "Gustav Ehrenmoor"
contact = "gustav@example.org"

[[client]]
code    = "C-0021"
name    = "Wilma Tarrenby"
contact = "wilma@example.org"

[[client]]
code    = "C-0024"
name    = "Ansgar Tielemark"
contact = "ansgar@example.org"
notes   = "the sleeve; works with his hands, no sittings before a Monday"
"""

INKS = """[[batch]]
batch  = "BK-1042"
name   = "dense black"
maker  = "Hollow Tarn"
opened = 2024-01-15
expiry = 2025-05-31

[[batch]]
batch  = "BK-1177"
name   = "dense black"
maker  = "Hollow Tarn"
opened = 2025-04-02
expiry = 2026-12-31

[[batch]]
batch  = "BK-1301"
name   = "dense black"
maker  = "Hollow Tarn"
opened = 2026-04-01
expiry = 2028-03-31

[[batch]]
batch  = "GW1-2231"
name   = "grey wash 1"
maker  = "Brackwater"
opened = 2024-01-10
expiry = 2026-01-31

[[batch]]
batch  = "GW2-2231"
name   = "grey wash 2"
maker  = "Brackwater"
opened = 2024-01-10
expiry = 2026-01-31

[[batch]]
batch  = "GW3-2231"
name   = "grey wash 3"
maker  = "Brackwater"
opened = 2024-01-10
expiry = 2026-01-31

[[batch]]
batch  = "GW1-2498"
name   = "grey wash 1"
maker  = "Brackwater"
opened = 2025-02-01
expiry = 2027-08-01

[[batch]]
batch    = "GW2-2498"
name     = "grey wash 2"
maker    = "Brackwater"
opened   = 2025-02-01
expiry   = 2027-08-01
recalled = 2026-05-02
note     = "bottle taken out and sealed the same day"

[[batch]]
batch  = "GW3-2498"
name   = "grey wash 3"
maker  = "Brackwater"
opened = 2025-02-01
expiry = 2027-08-01

[[batch]]
batch  = "GW2-2610"
name   = "grey wash 2"
maker  = "Brackwater"
opened = 2026-05-09
expiry = 2028-10-31

[[batch]]
batch  = "WH-0310"
name   = "opaque white"
maker  = "Hollow Tarn"
opened = 2024-06-01
expiry = 2026-06-30
"""

DECISIONS = """[[same]]
images = ["pieces/2025-02-08-barn-owl/photos/owl-fresh-1.jpg", "pieces/2025-02-08-barn-owl/photos/owl-fresh-bw.jpg"]
keep   = "pieces/2025-02-08-barn-owl/photos/owl-fresh-1.jpg"
reason = "edited copy"
date   = 2025-06-08

[[different]]
images = ["pieces/2025-06-14-moon-first-wrist/photos/moon-first-healed.jpg",
          "pieces/2025-06-14-moon-second-wrist/photos/moon-second-healed.jpg"]
reason = "one stencil, two people"
date   = 2025-08-03
"""

MARK = "The demo archive: drawn by `python -m tests.demo content`; every person, studio and piece in it is invented.\n"
PAGES = {
    ".demo": MARK,
    "archive.toml": ARCHIVE,
    "about.md": ABOUT,
    "care.md": CARE,
    "booking.md": BOOKING,
    "clients.toml": CLIENTS,
    "inks.toml": INKS,
    "decisions.toml": DECISIONS,
    **german.PAGES,
}
