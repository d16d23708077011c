/** From a model and a claim to a verdict: which variables a search keeps, how it treats those it hides, and how it learns from a run that turns out not to exist. */
@NullMarked
package stoplog.checker.abstraction;

import org.jspecify.annotations.NullMarked;
