"""Dosing arithmetic: fertilisers to ppm, stocks, EC, tanks brought to a strength, acid for a pH. No sentence is here.

The bottle's own label and local rules come before any figure reckoned here; a result is put in by halves, and measured.

    elements, materials   formulas and labels to grams of element
    solution              water with something in it, poured together and thinned
    recipes, stock        published solutions, their weights, and what may stand in one stock
    ec                    conductivity of an analysis, and a recipe's strength for an EC
    tank                  nutrients or water for a tank, top-up, days a bottle lasts
    carbonate, acids      what holds a pH, and the acid or base that moves it
    working               the steps of a result, for a page that shows them
"""
