# Thin: CMake does the work (CMakePresets.json); these are the words to type.
BUILD  ?= build/release
JOBS   ?= $(shell nproc 2>/dev/null || echo 2)
PREFIX ?= /usr/local
PACKAGE ?= $(BUILD)/package
DRIVE  ?= examples/sedgemere.yaml

.PHONY: all demo check mutants bench fuzz soak install package clean
all:
	@scripts/setup.sh --no-tests
	@cmake --preset release -B $(BUILD) -DSNUB_PAGE=$$([ -d page/node_modules/esbuild ] && echo ON || echo OFF) >/dev/null
	@cmake --build $(BUILD) -j $(JOBS)

# What snub does, on the example kit.
demo:
	@scripts/demo.sh $(BUILD) $(DRIVE) $(JOBS)

# Everything there is to check; the last line sums up.
check:
	@scripts/setup.sh
	@scripts/check.sh

# Spoils the program in some hundreds of places, one at a time, and lists what no test notices. Takes hours;
# MUTANTS="--every 10" takes a tenth, MUTANTS="--only comparison" one kind.
mutants:
	@scripts/setup.sh
	@cmake --preset release -B $(BUILD) >/dev/null
	@cmake --build $(BUILD) -j $(JOBS)
	@SNUB_SOURCE_DIR=$(CURDIR) SNUB_BUILD_DIR=$(CURDIR)/$(BUILD) bash tests/mutants/run_rules.sh
	@SNUB_SOURCE_DIR=$(CURDIR) SNUB_BUILD_DIR=$(CURDIR)/$(BUILD) /usr/bin/python3 -B tests/mutants/source.py $(MUTANTS)

bench:
	@scripts/setup.sh
	@cmake --preset release -B $(BUILD) >/dev/null
	@cmake --build $(BUILD) -j $(JOBS) --target bench snub
	@for bench in $(BUILD)/bench/*; do [ ! -x "$$bench" ] || "$$bench" || exit 1; done
	@echo "the page in a browser"
	@SNUB_BIN=$(CURDIR)/$(BUILD)/snub SNUB_SOURCE_DIR=$(CURDIR) SNUB_BUILD_DIR=$(CURDIR)/$(BUILD) bash tests/page/bench_speed.sh

# SECONDS_IN_ALL=600 make fuzz: as long as you like, shared by the targets.
fuzz:
	@scripts/setup.sh
	@scripts/fuzz.sh $${SECONDS_IN_ALL:-60}

# Long tests: MINUTES=60 make soak. SOAK="--only kills" takes some, SOAK="--seed 7" other seeds.
soak:
	@scripts/setup.sh
	@cmake --preset release -B $(BUILD) >/dev/null
	@cmake --build $(BUILD) -j $(JOBS)
	@SNUB_BUILD_DIR=$(BUILD) /usr/bin/python3 -B scripts/soak.py --minutes $${MINUTES:-10} $(SOAK)

# A .deb for Debian 12. With SOURCE_DATE_EPOCH set, the same sources give the same bytes.
package: all
	@mkdir -p $(PACKAGE)
	@umask 022 && cpack --config $(BUILD)/CPackConfig.cmake -B $(PACKAGE) >$(PACKAGE)/log 2>&1 || { cat $(PACKAGE)/log; exit 1; }
	@ls $(PACKAGE)/*.deb

install: all
	@cmake --install $(BUILD) --prefix $(PREFIX)

clean:
	rm -rf build
