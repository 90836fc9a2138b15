"""The parts of the scenario generator. None of them imports the package that the scenario is for."""
