"""What a designer hands over: everything in plain rows first, then written in several forms, all of them or none.

result ─→ times.py        months counted from planting
          orders.py       what is ordered: plants, bulbs, temporary plants    supports.py   wires, ties and stakes
          sums.py         what they add up to                                 setting_out.py  every position from two fixed points
          jobs.py         work with its dates ◁─ tasks.py ◁─ care.py, pruning.py, watering.py
          interest.py     what there is to look at, month by month            gaps.py       what will look empty, and when
          cards.py        how each plant is pruned and cut back               cautions.py   what is dangerous, and who is asked
          standing.py     assumptions, acceptances, revisions, and what is lacking
        ─→ pack.py        all of them of one plan
        ─→ rows.py        tables ─→ tables.py (CSV, XLSX)        dates.py (iCalendar)
        ─→ pages_*.py     pages, made of parts.py ─→ document.py and document.typ (PDF), with bulb_overlay.py
        ─→ folder.py      into a folder

What a plan may say for this alone: ``x-revisions``, a list of {date, by, what}.
"""
