"""What nobody has looked at when the roof checks pass: it stands beside every result about a roof."""

SCREENING = (
    "This is a screening of a site, no structural design: a licensed structural engineer confirms it under the local "
    "code, and the authority having jurisdiction decides."
)

NOT_CHECKED = (
    "What the existing deck, beams, columns, walls and foundations can carry, and their connections.",
    "Drainage, ponding, water-tightness, the roof's warranty.",
    "Vibration of the roof and structure-borne sound.",
    "Fire rating and fire separation; lightning protection and earthing.",
    "Fall protection within 2 m of an edge; the lifting plan, slings and lay-down area.",
    "Lease, planning consent, heritage.",
    "Ice; snow that slides or drifts from a higher roof; wind from taller neighbours; the building under earthquake.",
    "National annexes: the values that the standards recommend are used unless the list says otherwise.",
)
