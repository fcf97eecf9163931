"""The native proof search (C, optional) behind `keyproof.rules.proof.prover`."""
