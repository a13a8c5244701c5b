"""Which species a graft is of."""

from __future__ import annotations

from tendwork.orchard.graft_species import graft_species, species_by_graft
from tendwork.orchard.records import Graft, Life, Records, Tree

PLUM = Tree("t1", "Shed plum", "plum")


def test_a_graft_is_of_its_own_species_where_it_has_one_and_else_of_its_trees() -> None:
    assert graft_species(Graft("g1", "t1", "Early Peach", species="peach"), PLUM) == "peach"
    assert graft_species(Graft("g2", "t1", "Victoria"), PLUM) == "plum"
    assert graft_species(Life("g1", "Lost Apricot", species="apricot"), PLUM) == "apricot"


def test_a_graft_whose_tree_is_not_on_file_has_no_species() -> None:
    grafts = (Graft("g1", "t1", "Early Peach", species="peach"), Graft("g2", "t1", "Victoria"), Graft("g3", "t9", "X"))
    assert species_by_graft(Records((PLUM,), grafts)) == {"g1": "peach", "g2": "plum"}
