from webapp.links import anchor, link, own_path


def test_a_rule_leads_to_what_sets_it() -> None:
    assert link("practice:kerf") == "/shop/practice#kerf"
    assert link("operation:mill") == "/shop/operations#mill"
    assert link("shop:zone") == "/shop#zone"
    assert link("shop:terms:overhead") == "/shop/terms#overhead"
    assert link("job:3:terms:profit") == "/jobs/3/terms#profit"
    assert link("handbook:species:Hickory, shagbark") == "/handbook/species#hickory-shagbark"
    assert link("price:12") == "/prices/12"
    assert link("stock") == "/stock"


def test_a_missing_price_leads_to_typing_it() -> None:
    assert link("material:lumber|White oak|4/4|FAS") == "/prices/new?material=lumber%7CWhite%20oak%7C4/4%7CFAS"


def test_what_nothing_sets_leads_nowhere() -> None:
    assert [link(where) for where in ("", "price", "moon:1", "typed")] == ["", "", "", ""]


def test_an_address_of_another_site_is_not_ours() -> None:
    assert own_path("/jobs/3/price", "/") == "/jobs/3/price"
    assert [
        own_path(path, "/prices") for path in ("//evil.example", "/\\evil.example", "https://evil.example", "")
    ] == ["/prices"] * 4


def test_anchors_tell_every_wood_apart() -> None:
    from domain.wood import species_names

    assert len({anchor(name) for name in species_names()}) == len(species_names())
