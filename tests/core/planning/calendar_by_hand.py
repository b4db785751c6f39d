"""The farm's calendar reckoned a second time, batch by batch and day by day, with nothing of the planner but its types."""


def _open(day, closed):
    while day // 7 in closed:
        day += 7
    return day


def _sown_on(problem, week):
    today = problem.today.weekday()
    return max(7 * week + problem.sow_weekday, today)


def _stages(problem, crop, sown):
    """First day under cover, on the shelves, in the towers, and ripe."""
    days = [sown]
    for stay in (crop.cover_days, crop.shelf_days, crop.tower_days):
        days.append(_open(days[-1] + stay, problem.closed))
    return days


def ripe_by_week(problem, crop, plugs):
    """Heads of a crop of one cut that become ripe in each week, from what stands and what is sown."""
    ripe = [0.0] * (2 * problem.weeks + 60)
    for week, sown in enumerate(plugs):
        day = _stages(problem, crop, _sown_on(problem, week))[3]
        ripe[day // 7] += sown * crop.up * crop.shelf_keep * crop.tower_keep * crop.bunches
    for one in problem.standing:
        if one.crop == crop.slug:
            day, share = _next_days(problem, crop, one)
            ripe[day // 7] += one.plants * share * crop.tower_keep * crop.bunches
    return ripe


def _next_days(problem, crop, one):
    today, day = problem.today.weekday(), (one.since - problem.monday(0)).days
    share = 1.0
    if one.where == "cover":
        day, share = _open(max(day + crop.cover_days, today), problem.closed), share * crop.up
    if one.where in ("cover", "shelf"):
        day, share = _open(max(day + crop.shelf_days, today), problem.closed), share * crop.shelf_keep
    return _open(max(day + crop.tower_days, today), problem.closed), share


def room_taken(problem, sow, where):
    """The fullest day of each week, of what is sown alone, where every plug becomes a plant and is cut when it is ripe."""
    at = {"cover": 0, "shelf": 1, "tower": 2}[where]
    days = [0.0] * (7 * problem.weeks)
    for crop in problem.crops:
        for week, plugs in enumerate(sow[crop.slug]):
            stages = _stages(problem, crop, _sown_on(problem, week))
            for day in range(stages[at], min(stages[at + 1], len(days))):
                days[day] += plugs * (crop.sites if where == "tower" else 1)
    return [max(days[7 * week : 7 * week + 7]) for week in range(problem.weeks)]
