"""What a new piece takes over from its owner. Sizes: common practice, no source."""

from domain.length import Length
from domain.pieces import KINDS
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.belonging import kinds_for, started
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.choices import SheetThickness
from domain.pieces.corner_joint import SecondGrain
from domain.pieces.corner_top import CornerTop
from domain.pieces.door import Door
from domain.pieces.drawer import Drawer
from domain.pieces.support_strips import SupportStrips
from domain.pieces.toe_kick import ToeKick
from domain.pieces.top import Top, TopGrain

OAK_TOP = Top(
    species="White oak", grade="FAS", finish="Hardwax oil", coats=2, on_site=True,
    length=Length.feet(9), depth=Length.parse("25 1/4"), thickness=Length.of("7/4"),
)  # fmt: skip


def test_an_edge_is_of_its_tops_wood_and_as_long():
    edge = started(BuiltUpEdge, OAK_TOP)
    assert (edge.species, edge.finish, edge.coats, edge.on_site) == ("White oak", "Hardwax oil", 2, True)
    assert (edge.length, edge.top_thickness, edge.depth) == (OAK_TOP.length, OAK_TOP.thickness, OAK_TOP.depth)
    assert not edge.end_grain_front
    assert started(BuiltUpEdge, Top(grain=TopGrain.DEPTH)).end_grain_front


def test_the_second_edge_of_an_l_covers_end_grain_where_both_legs_run_alike():
    turned, alike = CornerTop(), CornerTop(second_grain=SecondGrain.PARALLEL)
    first = started(BuiltUpEdge, alike)
    assert not started(BuiltUpEdge, alike).end_grain_front
    assert started(BuiltUpEdge, alike, [first]).end_grain_front
    assert not started(BuiltUpEdge, turned, [first]).end_grain_front


def test_strips_run_along_the_top_and_stay_under_it():
    assert started(SupportStrips, OAK_TOP).run == Length.feet(9)
    assert started(SupportStrips, Top(depth=Length.of(16))).length == Length.of(16)


def test_what_goes_into_a_cabinet_has_its_clear_sizes():
    cabinet = BaseCabinet(width=Length.of(36), depth=Length.of(24), thickness=SheetThickness.THREE_QUARTERS)
    drawer = started(Drawer, cabinet)
    assert drawer.width == Length.of(36) - 2 * Length.of("3/4")
    assert drawer.depth == Length.of(24) - Length.of("1/4")
    assert started(ToeKick, cabinet).length == Length.of(36)


def test_a_wide_cabinet_has_doors_in_pairs():
    assert started(Door, BaseCabinet(width=Length.of(24))).width == Length.of("47/4")
    assert started(Door, BaseCabinet(width=Length.of(18))).width == Length.of("71/4")


def test_a_size_that_the_kind_cannot_have_stays_as_usual():
    shallow = started(Drawer, BaseCabinet(depth=Length.of(8)))
    assert shallow.depth == Drawer().depth
    no_kick = started(ToeKick, BaseCabinet(toe_kick_height=Length.of(0)))
    assert no_kick.height == ToeKick().height


def test_each_kind_says_what_it_belongs_to():
    assert {kind.kind for kind in kinds_for(Top(), KINDS)} >= {"built_up_edge", "support_strips"}
    assert {kind.kind for kind in kinds_for(BaseCabinet(), KINDS)} >= {"drawer", "door", "shelf", "toe_kick"}
    assert kinds_for(Drawer(), KINDS) == ()
