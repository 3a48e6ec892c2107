"""The rack controller: staging, fan loop, defrost, alarms."""
