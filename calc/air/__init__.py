"""Air: what it takes to keep product moving in a hose, and what a change of fan speed does and costs."""
