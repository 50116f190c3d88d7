# Shortcuts only: everything here is one command of manage.py or .ci/run.
.PHONY: demo test check

demo:
	python3 manage.py demo

test:
	python3 manage.py test

check:
	.ci/run
