"""Network, supply, conductors, switchgear, protection and motors of a store."""
