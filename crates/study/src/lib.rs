//! Many runs of one scenario: variation, sweeps, robustness. Empty until the single run is settled.
