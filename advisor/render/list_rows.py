"""The rows of a list of each kind: which entries, and what stands in their columns.

Used by `listing`. Values are plain, so that the table and the JSON document say the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from advisor.catalog import Catalog, active_groups
from advisor.derive.label import actives_of
from advisor.derive.plant import base_of
from advisor.model import KnowledgeBase, Product, Weed
from advisor.published import compare
from advisor.render.cards.maker import day, numbers, shares, stretch
from advisor.render.list_filters import Cells, Filters


def _weeds(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for weed in base.weeds.values():
        listing_it = [p.id for p in base.products.values() if p.lists(weed.id) != "not-listed"]
        wanted = (
            f.option("habit", "habit", weed.habit),
            f.option("life_cycle", "life_cycle", weed.life_cycle),
            f.option("group", "plant_group", weed.plant_group),
            f.entry("product", base.products, listing_it),
            f.entry("site", base.sites, weed.favoured_by),
            f.entry("active", active_groups(base), _killing(weed)),
            f.word(*weed.names),
        )
        if all(wanted):
            yield {
                "id": weed.id,
                "name": weed.name,
                "group": weed.plant_group,
                "life_cycle": weed.life_cycle,
                "habit": weed.habit,
                "best_season": tuple(stretch(s.stretch) for s in weed.seasons if s.fit == "best"),
                **_expected(weed, f, base),
            }


def _killing(weed: Weed) -> list[str]:
    """The actives that kill half of the weed and more."""
    return [name for name, control in weed.control.items() if control.share >= 0.5]


def _expected(weed: Weed, f: Filters, base: KnowledgeBase) -> Cells:
    """What the product or the active asked for does to the weed, else how often it takes one."""
    if name := f.asked.get("product"):
        product = base.products[name]
        kills = base_of(weed, actives_of(product))
        return {
            "label": product.lists(weed.id),
            "kills": shares(kills.low, kills.share, kills.high),
        }
    if name := f.asked.get("active"):
        control = weed.control[name]
        return {"kills": shares(control.low, control.share, control.high)}
    return {"treatments": numbers(weed.retreatments.applications)}


def _products(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for product in base.products.values():
        actives = tuple(active.name for active in product.actives)
        wanted = (
            f.one_of("kind", {p.kind for p in base.products.values()}, [product.kind]),
            f.entry("weed", base.weeds, (*product.controls, *product.suppresses)),
            f.entry("turf", base.turf, _tolerant(product, base)),
            f.entry("active", active_groups(base), actives),
            f.flag("homeowner", product.homeowner == "yes"),
            f.word(product.id, product.name, product.summary),
        )
        if all(wanted):
            label = {"label": product.lists(f.asked["weed"])} if "weed" in f.asked else {}
            yield {
                "id": product.id,
                "kind": product.kind,
                "actives": actives,
                **label,
                "wait_days": f"{product.interval_days:g}",
                "a_year": product.per_year,
                "homeowner": product.homeowner == "yes",
            }


def _tolerant(product: Product, base: KnowledgeBase) -> set[str]:
    """The grasses that stand a product, groups among them where all their members do."""
    safe = set(product.turf_tolerant)
    safe |= {member for name in product.turf_tolerant for member in base.turf[name].members}
    return safe | {t.id for t in base.turf.values() if t.members and set(t.members) <= safe}


def _actives(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for number, (name, group) in zip(
        Catalog(base).names("active"), active_groups(base).items(), strict=True
    ):
        within = tuple(
            p.id for p in base.products.values() if any(a.name == name for a in p.actives)
        )
        if f.entry("product", base.products, within) and f.word(name):
            yield {"id": number, "name": name, "group": group, "products": within}


def _causes(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    groups = {cause.group for cause in base.causes.values()}
    for cause in base.causes.values():
        wanted = (
            f.one_of("group", groups, [cause.group]),
            f.entry("kind", base.kinds, cause.explains),
            f.word(cause.id, cause.title, cause.what),
        )
        if all(wanted):
            yield {
                "id": cause.id,
                "title": cause.title,
                "group": cause.group,
                "explains": cause.explains,
                "rules": len(cause.rules),
            }


def _kinds(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for kind in base.kinds.values():
        if f.word(kind.id, kind.title, kind.what):
            often = f"{kind.how_often * 100:.0f}"
            yield {"id": kind.id, "title": kind.title, "in_100": often, "rules": len(kind.rules)}


def _stops(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for stop in base.stops.values():
        if f.word(stop.id, stop.title, stop.what):
            yield {"id": stop.id, "title": stop.title, "lifted_when": stop.until}


def _answers(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for topic in base.answers.values():
        said = f.word(topic.id, topic.title, *topic.keywords, *topic.ask)
        if f.flag("safety", topic.safety) and said:
            yield {"id": topic.id, "title": topic.title, "safety": topic.safety}


def _sites(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for site in base.sites.values():
        favors = tuple(w.id for w in base.weeds.values() if site.id in w.favoured_by)
        wanted = (
            f.flag("near_water", site.near_water),
            f.entry("weed", base.weeds, favors),
            f.word(site.id, site.name, site.says),
        )
        if all(wanted):
            water = site.near_water
            yield {"id": site.id, "name": site.name, "near_water": water, "favors": favors}


def _turf(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for turf in base.turf.values():
        if f.one_of("season", ("cool", "warm"), [turf.season]) and f.word(turf.id, turf.name):
            yield {
                "id": turf.id,
                "name": turf.name,
                "season": turf.season,
                "mowing_in": numbers(turf.mowing_height_in),
                "sown": tuple(stretch(days) for days in turf.seeding),
            }


def _regions(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for region in base.regions.values():
        hemisphere = f.one_of("hemisphere", ("north", "south"), [region.hemisphere])
        if hemisphere and f.word(region.id, region.name, region.says):
            yield {
                "id": region.id,
                "name": region.name,
                "hemisphere": region.hemisphere,
                "last_frost": day(region.last_spring_frost),
                "first_frost": day(region.first_fall_frost),
            }


def _facts(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    scopes, ways = (
        {getattr(fact, name) for fact in base.facts.values()} for name in ("scope", "comes")
    )
    for name in Catalog(base).names("fact"):
        fact = base.facts[name]
        sort = "number" if fact.is_number else "choice"
        wanted = (
            f.one_of("scope", scopes, [fact.scope]),
            f.one_of("comes", ways, [fact.comes]),
            f.one_of("type", ("number", "choice"), [sort]),
            f.word(fact.id, fact.says),
        )
        if all(wanted):
            unit = {"type": f"{sort}, {fact.unit}" if fact.unit else sort}
            yield {"id": name, "says": fact.says, **unit, "scope": fact.scope, "comes": fact.comes}


def _rules(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    owners = {**base.kinds, **base.causes, **base.stops}
    for rule in base.rules():
        wanted = (
            f.entry("fact", base.facts, rule.facts),
            f.entry("of", owners, [rule.owner]),
            f.word(rule.id, rule.because),
        )
        if all(wanted):
            origin = rule.basis.source or rule.basis.kind
            yield {
                "id": rule.id,
                "of": rule.owner,
                "facts": tuple(sorted(rule.facts)),
                "from": origin,
            }


def _trials(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    for trial in base.trials.values():
        wanted = (
            f.entry("weed", base.weeds, [trial.weed]),
            f.entry("active", active_groups(base), trial.actives),
            f.word(trial.id, trial.says),
        )
        if all(wanted):
            found = compare(trial, base)
            expected = found.expected
            yield {
                "id": trial.id,
                "weed": trial.weed,
                "actives": tuple(trial.actives),
                "published": f"{trial.control.low * 100:g} to {trial.control.high * 100:g} %",
                "model": shares(expected.low, expected.share, expected.high),
                "off": "within" if found.agrees else f"{found.off * 100:+.0f}",
            }


def _sources(base: KnowledgeBase, f: Filters) -> Iterator[Cells]:
    types = {source.type for source in base.sources.values()}
    for source in base.sources.values():
        wanted = (
            f.one_of("type", types, [source.type]),
            f.flag("from_memory", not source.seen),
            f.word(source.id, source.title, source.publisher, str(source.year or "")),
        )
        if all(wanted):
            yield {
                "id": source.id,
                "type": source.type,
                "title": source.title,
                "publisher": source.publisher,
                "year": source.year,
            }


ROWS: Mapping[str, Callable[[KnowledgeBase, Filters], Iterator[Cells]]] = {
    "weed": _weeds,
    "product": _products,
    "active": _actives,
    "cause": _causes,
    "kind": _kinds,
    "stop": _stops,
    "answer": _answers,
    "site": _sites,
    "turf": _turf,
    "region": _regions,
    "fact": _facts,
    "rule": _rules,
    "trial": _trials,
    "source": _sources,
}
