"""Oil: what the fan and the meters take from the tractor, and what is left in hand."""
