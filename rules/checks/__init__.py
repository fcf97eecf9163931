"""The rules, one family a file; every module here is loaded by `keyproof.rules.checks.register.load_rules`."""
