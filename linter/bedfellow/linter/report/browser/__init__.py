"""The plan as one page for a browser, for designer and client: findings, and the border by year and month.

    growth.py    each plant by season and month: crown, leaf, flower        light.py    sun on the ground by season and month
    data.py      all that the page is told, as JSON                         findings.py what is said of each finding
    plan.py      the drawing of the plan                                    names.py    keys and signs of findings on it
    calendar.py  what there is to look at by month                          sections.py the other parts that are read
    page.py      puts them together with what lies in assets/               text.py     letters safe in HTML, SVG and JSON

Every figure is computed here, from the border; the scripts of the page only look figures up.
"""
