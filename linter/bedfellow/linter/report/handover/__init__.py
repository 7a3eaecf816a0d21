"""What a designer hands over: everything in plain rows first, then written in several forms.

result ─→ orders.py       what is ordered: plants, bulbs, temporary plants, supports
          setting_out.py  every position from two fixed points
          jobs.py         work with its dates ◁─ tasks.py (the plan's and the traits'), pruning.py, watering.py
          interest.py     what there is to look at, month by month
          cards.py        how each plant is pruned and cut back
          cautions.py     what is dangerous, and who is to be asked
          gaps.py         what will look empty, and when
          standing.py     what the plan stands on: assumptions, acceptances, revisions, and what is lacking
        ─→ pack.py        all of them of one plan
        ─→ tables.py (CSV, XLSX), dates.py (iCalendar), document.py and document.typ (PDF)
        ─→ folder.py      all of the files, or none
"""
