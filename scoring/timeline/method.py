"""Description of the method ``timeline`` as screens and reports print it."""

from __future__ import annotations

from scoring.method import About

TIMELINE = "timeline"
"""Id of the method."""
ABOUT = About(
    id=TIMELINE,
    edition=1,
    label="timeline of each channel, edition 1",
    source="derived: renewal of each kind of failure between the instants of its tests, beta factor for shared failures",
    confidence="closure",
    valid=(
        "channels that do not influence each other; everything new at the start of the mission; common-cause failures of unlike "
        "channels at the geometric mean of their rates"
    ),
    formula=(
        "undetected: sound -> hidden at (1-beta) lambda_DU f, found at its test, then in repair for MRT on average",
        "detected: u(t) = lambda/(lambda+mu) x (1 - exp(-(lambda+mu) t)), lambda = (1-beta_D) lambda_DD, mu = 1/MTTR",
        "common cause: the same at beta lambda_DU f, hidden until M different channels have been tested since, or one with check_others",
        "channel: 1 - product of (1-u) of its failures; group: at least N-M+1 channels down, or a common-cause failure",
        (
            "redundant element in a channel: the same for its devices, each with (1-beta) of its rates, and with the beta of the element; "
            "in the common cause of all channels it counts as one device at the geometric mean of their rates (house rule)"
        ),
        "1oo2D: an undetected failure in one channel and any failure in the other, or a detected one that is not switched off, (1-K)",
        "in test: the group is down (bypass group), or the channel counts as failed (bypass channel; one after the other on one day)",
        "test error: from the first test on the group is failed with the chance of an error; each test ends what the last one left",
        "function: 1 - product of (1-U) of its groups at the same time; any of several: product of their U",
        (
            "PFDavg: mean over the mission; PFH: mean rate at which failures have the function failed; that a channel is taken into "
            "test is no failure"
        ),
    ),
)
