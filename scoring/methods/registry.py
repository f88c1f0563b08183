"""All calculation methods by kind, id and edition. A new method or edition is one module and one line here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Generic, Protocol, TypeVar

from scoring.beta.iec61508_6_2010 import AnnexD
from scoring.beta.machinery import Iec62061, Iso13849
from scoring.beta.partial_sums import HUMPHREYS, UPM
from scoring.beta.published import FIELD, NUCLEAR, PDS, PublishedBetas
from scoring.common_cause import Part
from scoring.exposure_rules.credits import Credits
from scoring.exposure_rules.graded import Graded
from scoring.exposure_rules.to_single import ToSingle
from scoring.exposure_rules.without import Without
from scoring.method import About, AskedBeta, BetaMethod, ExposureRule, MoonFactor, RedundancyMethod
from scoring.moon_factors import NONE, PDS_2013, TABLE_D5
from scoring.redundancy.annex_b_edition_1 import AnnexB1
from scoring.redundancy.annex_b_edition_2 import AnnexB2
from scoring.redundancy.group_over_time import Timeline


class UnknownMethod(LookupError):
    """A method or edition that this program does not have: the record or plant file comes from a newer release."""

    def __init__(self, kind: str, method: str, edition: int) -> None:
        super().__init__(f"written by a newer release: this program has no {kind} {method} edition {edition}")


class _Described(Protocol):
    @property
    def about(self) -> About: ...


M = TypeVar("M", bound=_Described)


class Family(Generic[M]):
    """Methods of one kind."""

    def __init__(self, kind: str, *methods: M) -> None:
        self.kind = kind
        self._methods: dict[tuple[str, int], M] = {
            (method.about.id, method.about.edition): method for method in methods
        }

    def get(self, method: str, edition: int) -> M:
        """One edition of a method; raises UnknownMethod."""
        try:
            return self._methods[method, edition]
        except KeyError:
            raise UnknownMethod(self.kind, method, edition) from None

    def latest(self, method: str) -> M:
        """The latest edition of a method; raises UnknownMethod."""
        return self.get(method, max((edition for name, edition in self._methods if name == method), default=0))

    def ids(self) -> tuple[str, ...]:
        """Ids of the methods, each once."""
        return tuple(dict.fromkeys(method for method, _ in self._methods))

    def known(self, method: str) -> str:
        """Return the id of a method unchanged; raises ValueError for an unknown one."""
        if method not in self.ids():
            raise ValueError(f"known are {', '.join(self.ids())}")
        return method

    def editions(self) -> Mapping[tuple[str, int], M]:
        """Every edition of every method."""
        return dict(self._methods)


BETA: Family[BetaMethod] = Family("beta method", AnnexD())
ASKED_BETA: Family[AskedBeta] = Family("beta opinion", HUMPHREYS, UPM, Iec62061(), Iso13849())
"""Beta methods with questions of their own: further opinions on a group, or its own method where it chooses one."""
PUBLISHED_BETA: Family[PublishedBetas] = Family("published beta", PDS, FIELD, NUCLEAR)
"""Published betas by class of equipment, as further opinions on a group."""
MOON_FACTORS: Family[MoonFactor] = Family("MooN factor", TABLE_D5, PDS_2013, NONE)
REDUNDANCY: Family[RedundancyMethod] = Family("redundancy method", AnnexB1(), AnnexB2(), Timeline())
EXPOSURE: Family[ExposureRule] = Family("exposure rule", ToSingle(), Graded(), Credits(), Without())


def betas_of_part(part: Part) -> tuple[str, ...]:
    """Ids of the methods that may carry the beta of a group used as a part: those of a plant, then those that ask themselves.

    >>> "iso13849-1" in betas_of_part("logic")
    True
    """
    scored = (id_ for (id_, _), method in BETA.editions().items() if method.rows(part))
    asked = (id_ for (id_, _), method in ASKED_BETA.editions().items() if part in method.parts)
    return tuple(dict.fromkeys((*scored, *asked)))
