"""Facts into plain English; adds nothing that is not a fact."""
