from prepstore.safety.hazard_classes import hazard_classes


def test_classes_are_spelled_with_their_category_each_once() -> None:
    """Read in Annex VI entries: formaldehyde, sodium hypochlorite, dibenzoyl peroxide."""
    assert {"Skin Corr. 1B", "Acute Tox. 3", "Aquatic Chronic 1", "Org. Perox. B"} <= set(
        hazard_classes()
    )
    assert len(set(hazard_classes())) == len(hazard_classes())
