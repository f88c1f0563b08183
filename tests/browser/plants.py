"""Small plant files to import."""

from __future__ import annotations

import json
from typing import Any

MARKUP = {
    "image": "<img src=x onerror=hit=1>",
    "link": "![a](http://example.invalid/x.png)",
    "script": "<script>hit=1</script>",
    "formula": "$x$ and $y$",
    "colour": ":red[b] **c** `d`",
    "address": "www.example.invalid -> :material_home:",
}
"""Names that a careless screen would execute instead of showing."""


def small_plant(name: str, **changes: Any) -> dict[str, Any]:
    """A plant with one function, two groups and two zones; ``changes`` replace whole blocks."""
    group = {"proof_test": {"interval_h": 8760}, "mttr_h": 24, "mrt_h": 24}
    return {
        "format": 1,
        "plant": {"name": name, "note": "invented data - not for use"},
        "devices": {"PT": {"lambda_du_fit": 450}, "XV": {"lambda_du_fit": 2400}},
        "zones": {
            "Z-1": {"name": "Safety system", "safety_related": True, "sl_target": {"IAC": 2, "RDF": 2}},
            "Z-2": {},
        },
        "conduits": {"C-1": {"between": ["Z-1", "Z-2"]}},
        "groups": {
            "pt-1": {"part": "sensor", "voting": "1oo2", "channels": [["PT"], ["PT"]], "zone": "Z-1", **group},
            "xv-1": {"part": "final", "voting": "1oo2", "channels": [["XV"], ["XV"]], "zone": "Z-1", **group},
        },
        "systems": {"S-1": {"functions": ["SIF-1"]}},
        "functions": {"SIF-1": {"demand": "low", "target_rrf": 100, "groups": ["pt-1", "xv-1"]}},
        "answers": [
            {"question": "SEP1", "of": "group:pt-1", "value": "met", "evidence": "Cable schedule"},
            {"question": "Z01", "of": "zone:Z-1", "value": "not-met"},
        ],
        **changes,
    }


def hostile_plant() -> dict[str, Any]:
    """The small plant with markup in each text that a person may write."""
    plant = small_plant(f"Plant {MARKUP['script']} {MARKUP['formula']}")
    plant["plant"]["note"] = " ".join(MARKUP.values())
    plant["zones"]["Z-1"] |= {"name": MARKUP["image"], "note": MARKUP["link"]}
    plant["zones"]["Z-2"] |= {"name": MARKUP["colour"]}
    plant["conduits"]["C-1"] |= {"flow": MARKUP["link"], "note": MARKUP["image"]}
    plant["groups"]["pt-1"] |= {"name": MARKUP["link"], "tags": list(MARKUP.values()), "note": MARKUP["image"]}
    plant["groups"]["xv-1"] |= {
        "name": MARKUP["formula"],
        "stated_beta": {"beta": 0.05, "beta_d": 0.025, "source": " ".join(MARKUP.values())},
    }
    plant["systems"]["S-1"] |= {"name": MARKUP["script"]}
    plant["functions"]["SIF-1"] |= {"name": MARKUP["image"]}
    texts = {"evidence": MARKUP["image"], "note": MARKUP["link"], "by": MARKUP["colour"]}
    plant["answers"] = [
        {"question": "SEP1", "of": "group:pt-1", "value": "met", **texts},
        {"question": "Z01", "of": "zone:Z-1", "value": "not-met", **texts},
    ]
    return plant


def file_of(plant: dict[str, Any], name: str = "plant.yaml") -> Any:
    """The plant as a file for the upload box."""
    text = json.dumps(plant, indent=1, ensure_ascii=False)  # JSON is YAML too, and has no anchors
    return {"name": name, "mimeType": "application/yaml", "buffer": text.encode()}
